package weather

// ThunderSource names where the rule was read, for printing beside a result.
const ThunderSource = "30-30 rule: 0.343 km for each second between flash and thunder, 30 minutes after the last thunder (university weather page, read); " +
	"the US weather service now teaches that any thunder means shelter (read)"

// kmPerSecond is the speed of sound in the 30-30 rule (Canadian form, read).
const kmPerSecond = 0.343

// StormKm is how far off lightning struck, from the seconds between flash and thunder. It says how near the storm is and nothing
// about whether work may go on: any thunder stops.
func StormKm(seconds float64) float64 { return kmPerSecond * seconds }

// ForceOf returns a row of the scale by its number, 0 to 12; ok is false for others.
func ForceOf(number int) (Force, bool) {
	if number < 0 || number >= len(beaufort) {
		return Force{}, false
	}
	return beaufort[number], true
}
