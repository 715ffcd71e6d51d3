package fire

import "time"

// Effective day lengths of the DMC in hours, January first: 46° north from FTR 35, the others from Lawson and
// Armitage 2008 (all read in an implementation; the reports were not opened).
var (
	dmc46N     = [12]float64{6.5, 7.5, 9.0, 12.8, 13.9, 13.9, 12.4, 10.9, 9.4, 8.0, 7.0, 6.0}
	dmc20N     = [12]float64{7.9, 8.4, 8.9, 9.5, 9.9, 10.2, 10.1, 9.7, 9.1, 8.6, 8.1, 7.8}
	dmcEquator = [12]float64{9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9}
	dmc20S     = [12]float64{10.1, 9.6, 9.1, 8.5, 8.1, 7.8, 7.9, 8.3, 8.9, 9.4, 9.9, 10.2}
	dmc40S     = [12]float64{11.5, 10.5, 9.2, 7.9, 6.8, 6.2, 6.5, 7.4, 8.7, 10.0, 11.2, 11.8}
)

// Day-length factors of the DC, January first (FTR 35, mirrored for the south; read in an implementation).
var (
	dcNorth   = [12]float64{-1.6, -1.6, -1.6, 0.9, 3.8, 5.8, 6.4, 5.0, 2.4, 0.4, -1.6, -1.6}
	dcEquator = [12]float64{1.4, 1.4, 1.4, 1.4, 1.4, 1.4, 1.4, 1.4, 1.4, 1.4, 1.4, 1.4}
	dcSouth   = [12]float64{6.4, 5.0, 2.4, 0.4, -1.6, -1.6, -1.6, -1.6, -1.6, 0.9, 3.8, 5.8}
)

// dmcDayLength picks the table by latitude. The bands are coded this way in one implementation and otherwise in
// others (33, 0, -30); north of 33° all agree.
func dmcDayLength(latitude float64, month time.Month) float64 {
	table := dmc40S
	switch {
	case latitude > 30:
		table = dmc46N
	case latitude > 10:
		table = dmc20N
	case latitude > -10:
		table = dmcEquator
	case latitude > -30:
		table = dmc20S
	}
	return table[month-1]
}

func dcDayLength(latitude float64, month time.Month) float64 {
	table := dcSouth
	switch {
	case latitude > 20:
		table = dcNorth
	case latitude > -20:
		table = dcEquator
	}
	return table[month-1]
}
