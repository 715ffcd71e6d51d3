package training

// Answers is what one edition of curriculum and house rules makes of one worker's record at a moment: where they stand with each
// skill, what a sign-off of it would lack (see Missing), and at which level they may do each task group.
type Answers struct {
	Curriculum Curriculum
	Standings  map[string]Standing
	Lacks      map[string][]string
	Levels     map[string]Level
}

// SkillLoss is a skill that would stand lower under another edition. Skill is its id there: the one that replaces it, where one
// does. Back is what a sign-off then still lacks, in words; empty where it is taught no longer.
type SkillLoss struct {
	Skill   string
	Was, Is Word // Is is "" where it is taught no longer and nothing replaces it
	Back    []string
}

// LevelLoss is a task group that would be done at a lower level. One met look at each of Looks, gate skills, brings a saw back into
// the hands; sign-offs of SignOffs bring back the rest.
type LevelLoss struct {
	Group           string
	Was, Is         Level
	Looks, SignOffs []string
}

// Losses compares what two editions make of one worker's record: what stands lower under the second, in the order of the first.
// What nobody held by either is no loss.
func Losses(was, is Answers) (skills []SkillLoss, levels []LevelLoss) {
	for _, m := range was.Curriculum.Modules {
		for _, s := range m.Skills {
			if l, lost := skillLoss(s.ID, was, is); lost && !s.Withdrawn {
				skills = append(skills, l)
			}
		}
	}
	for _, g := range was.Curriculum.Groups {
		if now, ok := is.Curriculum.Group(g.ID); ok && is.Levels[g.ID] < was.Levels[g.ID] {
			levels = append(levels, levelLoss(now, was, is))
		}
	}
	return skills, levels
}

func skillLoss(id string, was, is Answers) (SkillLoss, bool) {
	before := was.Standings[id]
	next := is.Curriculum.successor(id)
	l := SkillLoss{Skill: next, Was: before.Word}
	if next == "" {
		l.Skill = id
		return l, before.Held()
	}
	l.Is, l.Back = is.Standings[next].Word, is.Lacks[next]
	if is.Standings[next].ByGap {
		l.Back = []string{"one met return look"}
	}
	return l, worth(is.Standings[next]) < worth(before)
}

// worth orders standings by what they let somebody do or decide: held, to decide, anything else.
func worth(st Standing) int {
	switch {
	case st.Held():
		return 2
	case st.Word == ToDecide:
		return 1
	}
	return 0
}

// successor is the skill under which the record of a skill counts: itself, or the one that replaces it; "" for none.
func (c Curriculum) successor(id string) string {
	for _, m := range c.Modules {
		for _, s := range m.Skills {
			if !s.Withdrawn && (s.ID == id || s.Replaces == id) {
				return s.ID
			}
		}
	}
	return ""
}

func levelLoss(g Group, was, is Answers) LevelLoss {
	l := LevelLoss{Group: g.ID, Was: was.Levels[g.ID], Is: is.Levels[g.ID]}
	for _, id := range is.Curriculum.needs(g) {
		st := is.Standings[id]
		s, _, _ := is.Curriculum.Skill(id)
		if s.Gate && missed(st) {
			l.Looks = append(l.Looks, id)
		}
		if l.Was > InSight && !st.Held() {
			l.SignOffs = append(l.SignOffs, id)
		}
	}
	return l
}

// needs lists the skills that a task group needs, in the order of the curriculum.
func (c Curriculum) needs(g Group) (ids []string) {
	for _, m := range c.Modules {
		for _, s := range m.Skills {
			if g.Uses(s) && !s.Withdrawn {
				ids = append(ids, s.ID)
			}
		}
	}
	return ids
}
