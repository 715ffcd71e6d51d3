package training

import "fmt"

// NotKept lists what a new edition of a curriculum does to the ids of the old one that it must not: a skill or
// module dropped (it has to stay, withdrawn), a withdrawn skill brought back, a skill moved to another module, or one
// that replaces a skill nobody knows.
func NotKept(old, now Curriculum) []string {
	var found []string
	for _, m := range old.Modules {
		if _, ok := now.Module(m.ID); !ok {
			found = append(found, fmt.Sprintf("module %s of edition %s is gone", m.ID, old.Edition))
		}
		for _, s := range m.Skills {
			found = append(found, skillNotKept(s, m, now)...)
		}
	}
	for _, m := range now.Modules {
		for _, s := range m.Skills {
			if s.Replaces == "" {
				continue
			}
			if _, _, ok := old.Skill(s.Replaces); !ok {
				found = append(found, fmt.Sprintf("skill %s replaces %s, which edition %s does not have", s.ID, s.Replaces, old.Edition))
			}
		}
	}
	return found
}

func skillNotKept(s Skill, m Module, now Curriculum) []string {
	kept, in, ok := now.Skill(s.ID)
	switch {
	case !ok:
		return []string{fmt.Sprintf("skill %s is gone; keep it with withdrawn: true", s.ID)}
	case in.ID != m.ID:
		return []string{fmt.Sprintf("skill %s moved from module %s to %s; give it a new id that replaces it", s.ID, m.ID, in.ID)}
	case s.Withdrawn && !kept.Withdrawn:
		return []string{fmt.Sprintf("skill %s was withdrawn and comes back; give it a new id that replaces it", s.ID)}
	}
	return nil
}
