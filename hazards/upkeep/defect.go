package upkeep

// DefectKind is something that can be wrong with a saw. Stops says that the saw is out of use from the moment it is
// found; Scrap that its blade never runs again.
type DefectKind struct {
	ID     string
	Words  string
	Stops  bool
	Scrap  bool
	Source string
	InFire bool // stops besides in fire months, from the class moderate on
}

// Other is the kind of a defect that has no word of its own; whether it stops the saw is said by whoever tags it.
const Other = "other"

// The kinds that stop follow the tag-out list of common practice; sources stand where one was read.
var defects = []DefectKind{
	{ID: "ring", Words: "no clear ring when the blade is tapped", Stops: true, Scrap: true, Source: "Säker Skog leaflet, Finnish and German guidance (all read)"},
	{ID: "crack", Words: "crack in the blade", Stops: true, Scrap: true, Source: "Säker Skog leaflet, Finnish and German guidance (all read)"},
	{ID: "bent-blade", Words: "bent blade", Stops: true, Scrap: true, Source: "Säker Skog leaflet (read)"},
	{ID: "guard", Words: "guard missing, broken or moved", Stops: true, Source: "Säker Skog leaflet; accident case 21 of a Japanese prevention body (both read)"},
	{ID: "idle", Words: "blade turns at idle", Stops: true, Source: "Säker Skog leaflet and Finnish seedling-stand guidance (both read)"},
	{ID: "stop", Words: "stop switch dead", Stops: true, Source: "Säker Skog leaflet and Finnish seedling-stand guidance (both read)"},
	{ID: "throttle", Words: "throttle does not spring back", Stops: true, Source: practice},
	{ID: "release", Words: "harness release stiff", Stops: true, Source: practice},
	{ID: "nut", Words: "blade nut loose or worn", Stops: true, Source: "BC forest safety alert of 31 Oct 2008, a blade came off (read)"},
	{ID: "tooth", Words: "tooth broken off, or blade blued by heat", Stops: true, Scrap: true, Source: practice},
	{ID: "lock-out", Words: "throttle lock-out dead", Stops: true, Source: "a brush-cutter maker's chart: stop, trigger and interlock (read in part)"},
	{ID: "gear-head", Words: "play in the gear head, or it runs hot", Stops: true, Source: practice},
	{ID: "wrong-guard", Words: "guard that does not belong to the blade", Stops: true, Source: practice},
	{ID: "fuel-leak", Words: "fuel leak", Stops: true, Source: practice},
	{ID: "rock", Words: "blade hit rock: look for cracks, tap it, then file", Stops: true, Source: practice},
	{ID: "handles", Words: "handle or anti-vibration mount damaged", Stops: true, Source: practice},
	{ID: "hook", Words: "harness hook or eyelet worn", Stops: true, Source: practice},
	{ID: "guard-screw", Words: "screw of guard, gear head or handle loose or lost", Stops: true, Source: practice},
	{ID: "dull", Words: "dull or badly set blade", Source: practice},
	{ID: "hard-start", Words: "starts hard or stalls; leave the cap shut", Source: "fuel-geyser reports of the US fire services (read)"},
	{ID: "pad", Words: "hip or shoulder pad damaged", Source: practice},
	{ID: "screws", Words: "another screw loose or lost", Source: practice},
	{ID: "cord", Words: "starter cord frayed", Source: practice},
	{ID: "muffler-screen", Words: "spark screen torn or clogged", InFire: true, Source: practice},
	{ID: Other, Words: "something else", Source: practice},
}

// DefectKinds returns every kind, those that stop first. The slice is the caller's.
func DefectKinds() []DefectKind { return append([]DefectKind(nil), defects...) }

// DefectIDs lists the ids of the kinds.
func DefectIDs() []string {
	ids := make([]string, len(defects))
	for i, d := range defects {
		ids[i] = d.ID
	}
	return ids
}

// DefectByID finds a kind; ok is false for an unknown id.
func DefectByID(id string) (d DefectKind, ok bool) {
	for _, d := range defects {
		if d.ID == id {
			return d, true
		}
	}
	return DefectKind{}, false
}
