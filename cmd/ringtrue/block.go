package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

func newBlockCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "block", Short: "Blocks: the pieces of ground being thinned, with their emergency text"}
	c.AddCommand(newBlockAddCmd(a), newBlockListCmd(a), newBlockShowCmd(a), newBlockPlotCmd(a))
	return c
}

type blockOptions struct {
	hazards.Block
	place, since string
}

func newBlockAddCmd(a *app) *cobra.Command {
	var o blockOptions
	c := &cobra.Command{
		Use:   "add BLOCK",
		Short: "Record a block's card, or a new edition of it",
		Long: `Record the card of a block: its stable facts and the emergency text that is read aloud in the morning. Adding a block
that is there already makes a new edition of its card: what you do not name stays as it was, and day sheets written
from the older edition are refused. Write roles, not names, in the emergency text.`,
		Example: `  ringtrue block add B7 --name "Upper Larch" --at 54.71,-124.92 --access-km 42.5 --walk 35min --slope-max 45% \
    --tree-height 4m --ambulance 75min --call "emergency number, then the office" --road "km 42.5 on the Larch road, red gate" \
    --channel "radio 5, satellite phone" --meeting "landing at km 42" --plan-b "carry to the landing, meet the ambulance there"
  # the walk has become longer
  ringtrue block add B7 --walk 50min`,
		Args: exactly(1, "BLOCK"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.ID = args[0]
			by, card, refs, err := a.addBlock(o)
			if err != nil {
				return err
			}
			h, err := a.happened(o.since)
			if err != nil {
				return err
			}
			return a.done(by, refs, h, fmt.Sprintf("block %s %s, card edition %d", card.ID, card.Name, card.Edition), append([]string{"to read aloud:"}, card.ReadAloud()...)...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.Name, "name", "", "name of the block")
	f.StringVar(&o.Kind, "kind", "", "kind of ground, in a word of your own; orientation holds for a kind")
	f.StringVar(&o.place, "at", "", "coordinates LAT,LON in decimal degrees")
	f.StringVar(&o.Access, "access-km", "", "way by road, in km (or with another unit)")
	f.StringVar(&o.Walk, "walk", "", "time on foot from the road, as 35min")
	f.StringVar(&o.SlopeMax, "slope-max", "", "steepest ground, as 45% or 24deg")
	f.StringVar(&o.TreeHeight, "tree-height", "", "tallest stems, as 4m")
	f.StringVar(&o.Ambulance, "ambulance", "", "time until an ambulance can be at the meeting point, as 75min")
	f.StringVar(&o.Call, "call", "", "who to call, and how")
	f.StringVar(&o.Road, "road", "", "where it is, by road")
	f.StringVar(&o.Channel, "channel", "", "radio channel or other device")
	f.StringVar(&o.Meeting, "meeting", "", "meeting point")
	f.StringVar(&o.PlanB, "plan-b", "", "the plan without a helicopter")
	f.StringVar(&o.Carry, "carry", "", "who comes to carry somebody out, where the crew alone is too few; nobody takes it back")
	f.StringVar(&o.since, "since", "", "since when the card holds")
	return c
}

// addBlock records the card of a block.
func (a *app) addBlock(o blockOptions) (store.Person, hazards.Block, []training.Ref, error) {
	var p problems
	by, err := a.actor()
	p.add(err)
	happened, err := a.happened(o.since)
	p.add(err)
	card := o.Block
	card.Edition = 1
	if o.place != "" {
		lat, lon, ok := strings.Cut(o.place, ",")
		if !ok {
			p.add(usage("write --at 54.71,-124.92", "--at %q is not LAT,LON", o.place))
		}
		card.Lat, card.Lon = strings.TrimSpace(lat), strings.TrimSpace(lon)
	}
	if card.Access != "" && strings.Trim(card.Access, "0123456789.") == "" {
		card.Access += "km"
	}
	old, known, err := a.card(o.ID, a.knownNow(0))
	p.add(err)
	if known {
		card = newer(old, card)
	}
	if card.Carry == "nobody" {
		card.Carry = ""
	}
	if known && sameCard(card, old) {
		p.addf("name what has changed: ringtrue block add "+o.ID+" --walk 50min", "nothing differs from edition %d of the card of block %s", old.Edition, o.ID)
	}
	if err := card.Validate(); err != nil {
		p.add(usage("see: ringtrue block add --help", "%v", err))
	}
	if err := p.err(); err != nil {
		return by, card, nil, err
	}
	refs, err := a.append([]ledger.Entry{entry(store.KindBlock, happened, by.ID, "", "", card)})
	return by, card, refs, err
}

// sameCard reports whether two editions say the same.
func sameCard(now, old hazards.Block) bool {
	now.Edition = old.Edition
	return now == old
}

// newer is the next edition of a card: what is not named stays as it was.
func newer(old, now hazards.Block) hazards.Block {
	now.Edition = old.Edition + 1
	for _, f := range []struct{ to, from *string }{
		{&now.Name, &old.Name}, {&now.Kind, &old.Kind}, {&now.Lat, &old.Lat}, {&now.Lon, &old.Lon}, {&now.Access, &old.Access}, {&now.Walk, &old.Walk},
		{&now.SlopeMax, &old.SlopeMax}, {&now.TreeHeight, &old.TreeHeight}, {&now.Ambulance, &old.Ambulance}, {&now.Call, &old.Call},
		{&now.Road, &old.Road}, {&now.Channel, &old.Channel}, {&now.Meeting, &old.Meeting}, {&now.PlanB, &old.PlanB}, {&now.Carry, &old.Carry},
	} {
		if *f.to == "" {
			*f.to = *f.from
		}
	}
	return now
}

// card gives the newest edition of a block's card known at the moment asked; ok is false for an unknown block.
func (a *app) card(id string, asked training.Asked) (b hazards.Block, ok bool, err error) {
	facts, err := a.book.Topic(a.ctx, asked, store.BlockSubject(id), store.KindBlock)
	if err != nil {
		return b, false, err
	}
	for i := len(facts) - 1; i >= 0; i-- {
		if !facts[i].Struck {
			_, err := a.book.Entry(a.ctx, facts[i].Entry, &b)
			return b, err == nil, err
		}
	}
	return b, false, nil
}

// knownBlock refuses a block that is not in the book; "" is allowed.
func (a *app) knownBlock(id string) error {
	if id == "" {
		return nil
	}
	_, ok, err := a.card(id, a.knownNow(0))
	if err != nil || ok {
		return err
	}
	cards, err := a.cards(a.knownNow(0))
	if err != nil {
		return err
	}
	var ids []string
	for _, c := range cards {
		ids = append(ids, c.ID)
	}
	return refuse(hint(id, ids, "block list"), "no block %q in this book", id)
}

// cards lists the newest edition of every block's card.
func (a *app) cards(asked training.Asked) ([]hazards.Block, error) {
	facts, err := a.listed(asked, store.KindBlock)
	if err != nil {
		return nil, err
	}
	var list []hazards.Block
	at := map[string]int{}
	for _, f := range facts {
		if f.Struck {
			continue
		}
		var b hazards.Block
		if _, err := a.book.Entry(a.ctx, f.Entry, &b); err != nil {
			return nil, err
		}
		if i, ok := at[b.ID]; ok {
			list[i] = b
			continue
		}
		at[b.ID] = len(list)
		list = append(list, b)
	}
	return list, nil
}

func newBlockListCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:     "list",
		Short:   "List the blocks",
		Example: "  ringtrue block list",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.read(); err != nil {
				return err
			}
			list, err := a.cards(a.knownNow(0))
			if err != nil {
				return err
			}
			header := []string{"BLOCK", "NAME", "AT", "ROAD", "WALK", "SLOPE", "STEMS", "AMBULANCE", "EDITION"}
			return listing(a, map[string]any{"format": "ringtrue/blocks/1", "rows": list}, header, list, func(b hazards.Block) []string {
				return []string{b.ID, b.Name, b.Lat + "," + b.Lon, b.Access, b.Walk, b.SlopeMax, b.TreeHeight, b.Ambulance, fmt.Sprint(b.Edition)}
			})
		},
	}
}

func newBlockShowCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:     "show BLOCK",
		Short:   "Show a block's card with the emergency text to read aloud",
		Example: "  ringtrue block show B7",
		Args:    exactly(1, "BLOCK"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.read(); err != nil {
				return err
			}
			if err := a.knownBlock(args[0]); err != nil {
				return err
			}
			b, _, err := a.card(args[0], a.knownNow(0))
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"format": "ringtrue/block/1", "block": b, "read_aloud": b.ReadAloud()})
			}
			a.mark()
			a.say("block %s %s, card edition %d", b.ID, b.Name, b.Edition)
			a.say("at %s,%s; by road %s, walk %s; slope up to %s, stems up to %s; ambulance %s", b.Lat, b.Lon, b.Access, b.Walk, b.SlopeMax, b.TreeHeight, b.Ambulance)
			for _, line := range b.ReadAloud() {
				a.say("  %s", line)
			}
			return nil
		},
	}
}
