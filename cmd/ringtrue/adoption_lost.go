package main

import (
	"slices"
	"time"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// workerLoss is what one worker would newly lack.
type workerLoss struct {
	Worker string      `json:"worker"`
	Skills []skillLost `json:"skills"`
	Groups []groupLost `json:"groups"`
	Gear   []string    `json:"equipment"`
}

type skillLost struct {
	Skill string   `json:"skill"`
	Was   string   `json:"was"`
	Is    string   `json:"is"` // "" = taught no longer
	Lacks []string `json:"lacks"`
}

type groupLost struct {
	Group    string   `json:"group"`
	Was      string   `json:"was"`
	Is       string   `json:"is"`
	Looks    []string `json:"looks"`
	SignOffs []string `json:"sign_offs"`
}

func (l workerLoss) nothing() bool { return len(l.Skills)+len(l.Groups)+len(l.Gear) == 0 }

// lostBy asks about everybody on the crew list by the editions that will be in force, and again with the new one.
func (a *app) lostBy(one adoption) ([]workerLoss, error) {
	on := max(one.d.happened.Unix(), a.now().Unix())
	asked := training.Asked{Day: civil.Of(time.Unix(on, 0), a.book.Zone()), On: on, Known: a.knownNow(one.d.day).Known}
	was, err := a.standardsFrom(asked, on)
	if err != nil {
		return nil, err
	}
	is, err := a.under(was, one, asked)
	if err != nil {
		return nil, err
	}
	list, err := a.crewList(asked)
	if err != nil {
		return nil, err
	}
	lost := []workerLoss{}
	for _, w := range list {
		if w.Left != "" {
			continue
		}
		l, err := a.lossOf(w.Worker, was, is, asked)
		if err != nil {
			return nil, err
		}
		if !l.nothing() {
			lost = append(lost, l)
		}
	}
	return lost, nil
}

// under are standards that the new edition judges from the moment asked on.
func (a *app) under(s standards, one adoption, asked training.Asked) (standards, error) {
	if one.curriculum != nil {
		s.Curriculum = *one.curriculum
	}
	if one.house != nil {
		s.House = one.house.Under(one.house.Floors)
		var err error
		if s.Rules, err = training.RulesOf(s.House); err != nil {
			return s, err
		}
	}
	s.turns = []turn{{asked.On, s.Curriculum, s.Rules}}
	return s, nil
}

func (a *app) lossOf(worker string, was, is standards, asked training.Asked) (workerLoss, error) {
	before, err := a.answersBy(worker, was, asked)
	if err != nil {
		return workerLoss{}, err
	}
	after, err := a.answersBy(worker, is, asked)
	if err != nil {
		return workerLoss{}, err
	}
	l := workerLoss{Worker: worker, Skills: []skillLost{}, Groups: []groupLost{}, Gear: []string{}}
	skills, levels := training.Losses(before, after)
	for _, s := range skills {
		l.Skills = append(l.Skills, skillLost{s.Skill, string(s.Was), string(s.Is), append([]string{}, s.Back...)})
	}
	for _, g := range levels {
		l.Groups = append(l.Groups, groupLost{g.Group, g.Was.String(), g.Is.String(), append([]string{}, g.Looks...), append([]string{}, g.SignOffs...)})
	}
	for _, g := range is.Groups {
		old, known := was.Group(g.ID)
		if !known || before.Levels[g.ID] == training.NoSaw || !g.Saw {
			continue
		}
		if err := a.gearLost(&l, old, g, asked); err != nil {
			return l, err
		}
	}
	return l, nil
}

// gearLost adds the equipment that a task group newly asks for and the worker does not hold.
func (a *app) gearLost(l *workerLoss, was, is training.Group, asked training.Asked) error {
	lacks, err := a.lacks(l.Worker, is, asked)
	for _, item := range lacks {
		if !slices.Contains(was.PPE, item) && !slices.Contains(l.Gear, item) {
			l.Gear = append(l.Gear, item)
		}
	}
	return err
}

// answersBy is what standards make of a worker's record.
func (a *app) answersBy(worker string, std standards, asked training.Asked) (training.Answers, error) {
	out := training.Answers{Curriculum: std.Curriculum, Lacks: map[string][]string{}, Levels: map[string]training.Level{}}
	topics, err := a.book.Facts(a.ctx, asked, worker)
	if err != nil {
		return out, err
	}
	out.Standings = standingsOf(topics, std, asked, nil)
	for id := range out.Standings {
		out.Lacks[id] = training.Missing(std.of(topics, id), asked)
	}
	for _, g := range std.Groups {
		p, err := a.permission(topics, g, out.Standings, std, asked)
		if err != nil {
			return out, err
		}
		out.Levels[g.ID] = p.Level
	}
	return out, nil
}
