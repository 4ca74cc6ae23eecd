package stockdb

// PastQueries are the questions about one bundle's past, which a person at the
// window waits for.
var PastQueries = []string{past(oneBundle) + pastBundles, past(oneBundle) + pastOrigins, past(oneBundle) + pastStays, past(oneBundle) + pastEvents}

// PeriodQueries are the questions about a stretch of time, each with the indexes
// that have to find what lies in it.
var PeriodQueries = map[string][]string{
	allSlips + slipsIn: {"slip_at", "slip_closed"},
	allSlips + openBy:  {"slip_open"},
	lossesIn:           {"loss_at"},
	bakesIn:            {"stay_bake"},
	remarksIn:          {"remark_at"},
	allSlips + outAt:   {"slip_open", "slip_closed"},
}
