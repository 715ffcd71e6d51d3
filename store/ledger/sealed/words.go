package sealed

import "strings"

// A word is one of firsts with one of seconds behind it, as in "fernladder": 96 × 81 = 7776 words, as many as five
// dice give. They are made of short everyday words, so that they are remembered and typed without a dictionary.
var (
	firsts = strings.Fields(`
acorn alder amber apple ash aspen autumn badger barley basket beaver beech berry birch biscuit bramble
brass brick bronze butter button candle canvas carrot cedar cherry chestnut clay clover cloud cobalt copper
coral cotton cricket crystal daisy dusk elder ember fennel fern finch flax forest frost garlic ginger
granite gravel hazel heather heron honey hornet indigo ivory ivy juniper larch lemon lilac linen lunar
maple marble meadow melon mint moss mustard oat ochre olive onion orchid otter pebble pepper pine
plum poplar pumpkin quartz raven river robin rowan saffron silver sorrel spruce thistle tulip walnut willow`)
	seconds = strings.Fields(`
anchor anvil apron arch bag barn barrel basin beam bell bench blanket boat boot bottle bowl bridge
broom brush bucket bunk cabin cart chair chest cloak clock coat cradle cup door drum fence flag
flute fork gate glove hammer harness harp hat jar jug kettle ladder lamp lantern latch lid
locket loom mallet map mirror mitten needle oar oven paddle pan pantry pillow pipe plate pocket
porch pot purse quilt raft rope saddle sail scarf shelf shovel sled spoon stool table`)
)
