package stockdb

// PastQueries are the questions about one bundle's past, which a person at the
// window waits for.
var PastQueries = []string{past(oneBundle) + pastBundles, past(oneBundle) + pastOrigins, past(oneBundle) + pastStays, past(oneBundle) + pastEvents}
