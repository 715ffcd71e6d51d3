package fuel

// TransportLimit is one limit for carrying a small load of petrol (UN 1203) by road. Regimes do not add up: the one
// of the place counts. Status says whether the text was read.
type TransportLimit struct {
	Regime   string // US, CA or ADR
	Item     string
	Value    float64
	Unit     string
	Citation string
	Status   string
}

// Petrol counts as packing group II there; a data sheet that prints group I would make the US limit 0.5 L, so the
// group is never taken from a data sheet. Section 1.33 of the Canadian rules is no exemption for petrol.
var transport = []TransportLimit{
	{"US", "max per container (PG II)", 30, "L", `49 CFR 173.6(a)(1)(ii) ["30 kg (66 lb) or 30 L (8 gal)"]`, "verified: read"},
	{"US", "max per container (PG I material)", 0.5, "L", "49 CFR 173.6(a)(1)(i)", "verified: read"},
	{"US", "aggregate gross weight per vehicle", 200, "kg", "49 CFR 173.6(d) [440 lb]", "verified: read in a restatement (392.51 note)"},
	{"CA", "max gross mass per container", 30, "kg", "TDG Regulations SOR/2001-286 s.1.15(1)(b) (version 2023-07-05)", "verified: read"},
	{"CA", "max gross mass of all dangerous goods per road vehicle", 150, "kg", "TDG Regulations s.1.15(1)(c)", "verified: read"},
	{"CA", "s.1.33 covers petrol?", 0, "bool", "TDG Regulations s.1.33: only Packing Group III with flash point above 37.8 C", "verified: read"},
	{"CA", "s.1.35 total UN1203 capacity per vehicle", 2000, "L", "TDG Regulations s.1.35", "memory"},
	{"ADR", "max total transport category 2 per transport unit", 333, "L", "ADR 1.1.3.6.3", "verified: read"},
	{"ADR", "points factor category 2", 3, "per L", "ADR 1.1.3.6.4 (category 1 x50; 3 x1; 4 x0)", "verified: read"},
	{"ADR", "points ceiling", 1000, "points", "ADR 1.1.3.6.4", "verified: read"},
	{"ADR", "limited quantity inner packaging UN1203", 1, "L", "ADR 3.4 (HSE petrol page; older HSE page said 3 L under LQ4)", "verified: read"},
	{"ADR", "per packaging ceiling for work-ancillary carriage", 450, "L", "ADR 1.1.3.1(c)", "memory (existence of the exemption verified on the HSE page)"},
}

// Transport lists the limits read. The slice is the caller's.
func Transport() []TransportLimit { return append([]TransportLimit(nil), transport...) }
