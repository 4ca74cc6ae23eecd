package report

// All returns every report, in the order in which they are listed.
func All() []Report {
	return []Report{
		traceJoint, recall, issueHistory, ovenHistory, bakes, discards, openIssues, shiftReport, receiving, shelfLife,
		calibration, decisions, exceptions, stubs, rulesInForce, climateLog, segregation, forecastActual, people,
		shiftEnd, qaDigest, buyingDigest,
	}
}
