package spacing

// clauses holds the distances read in a clause, by the code of the place (hazards/rules). No clause on a distance between clearing
// saws was found; the two tree lengths stand in felling rules and are kept as the nearest read. The 45 m of Quebec S-2.1 r. 12.1
// s. 29 are between two fellers and are not taken over to clearing saws.
var clauses = map[string]Limit{
	"us":    {TreeLengths: 2, Source: "29 CFR 1910.266(d)(6)(ii), read"},
	"us-wa": {TreeLengths: 2, Source: "WAC 296-54-513(2), read"},
	"bc":    {TreeLengths: 2, Source: "B.C. Reg. 296/97 26.1, active falling area, read"},
	"yt":    {TreeLengths: 2, Source: "Yukon OHS Regulations, felling, read"},
}

// Clauses returns the distances that no house rule may loosen at these places, the place itself first.
func Clauses(places []string) []Limit {
	var out []Limit
	for _, p := range places {
		if l, ok := clauses[p]; ok {
			out = append(out, l)
		}
	}
	return out
}
