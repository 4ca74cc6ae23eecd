package channel

import "fmt"

// Refused is a message that its receiver will never take, however often it comes:
// a mail box that there is not, a body that it calls wrong.
type Refused struct{ Err error }

// Error implements error.
func (r *Refused) Error() string { return fmt.Sprintf("refused for good: %v", r.Err) }

// Unwrap returns what the receiver said.
func (r *Refused) Unwrap() error { return r.Err }
