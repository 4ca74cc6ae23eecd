package db

import (
	"errors"

	"github.com/lib/pq"
	"github.com/lib/pq/pqerror"
)

// chance says whether repeating a failed transaction can help.
type chance int

const (
	never chance = iota
	atOnce
	afterPause
)

// repeatable returns whether a transaction that failed with err may be run
// again: it lost against another writer and nothing of it was kept. A lock
// time-out is not repeated, since it has waited as long as we are willing to.
func repeatable(err error) chance {
	if err == nil || errors.Is(err, errPool) || errors.Is(err, ErrOutcomeUnknown) {
		return never
	}
	e, ok := errors.AsType[*pq.Error](err)
	if !ok {
		if errors.Is(kindOf(err), ErrBusy) {
			return atOnce
		}
		return never
	}
	switch e.Code {
	case pqerror.TRSerializationFailure, pqerror.TRDeadlockDetected:
		return atOnce
	case pqerror.TooManyConnections, pqerror.CannotConnectNow:
		return afterPause
	}
	return never
}
