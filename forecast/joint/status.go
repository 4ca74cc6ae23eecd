package joint

// Status is how well a table row is established.
type Status string

// The statuses.
const (
	Confirmed    Status = "confirmed"     // read in the source that is named
	SingleSource Status = "single-source" // read in one source of lesser weight
	Memory       Status = "memory"        // not confirmed: check before relying on it
	Shop         Status = "shop"          // the shop's own figure
)
