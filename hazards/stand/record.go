package stand

// When the places of plots were chosen.
const (
	Beforehand = "beforehand"
	OnTheSpot  = "on the spot"
)

// Plots stands as data of a ledger entry: counts on the plots of one block, and whether their places were chosen
// beforehand. Area is that of each plot, as told.
type Plots struct {
	Block  string `json:"block"`
	Stems  []int  `json:"stems"`
	Area   string `json:"area"`
	Places string `json:"places"`
	Note   string `json:"note"`
}
