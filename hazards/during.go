package hazards

import "example.org/ringtrue/hazards/house"

// during turns what the day has brought into stops: a crew that has left, an incident, a call that did not come.
func (d *day) during() {
	in := d.in.During
	if in.MovedTo != "" {
		d.limit(limited{topic: TopicEmergency, id: "moved", effect: StopSite, line: "the crew is on " + in.MovedTo + " now; nobody has looked at that ground", do: "check a sheet for " + in.MovedTo,
			what: "The crew is on " + in.MovedTo + " now. Nobody has looked at that ground: no saw starts there.", ends: "a sheet for " + in.MovedTo + " is checked"})
	}
	if in.Incident != "" {
		d.limit(limited{topic: TopicEmergency, id: "incident", effect: StopSite, line: "incident at " + in.Incident, do: "make it safe, first aid, call; no saw starts",
			what: "Incident at " + in.Incident + ". Make it safe, give first aid, call. Leave the place as it is. No saw starts.", ends: "somebody who may decide it lets work resume"})
	}
	for _, m := range in.Missed {
		d.limit(limited{topic: TopicEmergency, id: "missed-call", effect: StopSite, line: "no call from " + d.name(m.Worker) + ", due at " + m.Due, do: "saws off; call, then go and look", rules: []string{house.CheckInGrace},
			what: "No call from " + d.name(m.Worker) + ", due at " + m.Due + ". Saws off; call, then go and look.", ends: d.name(m.Worker) + " has been reached"})
	}
}
