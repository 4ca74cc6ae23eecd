//go:build !linux && !darwin

package disk

// Free returns ErrUnknown.
func Free(string) (float64, error) { return 0, ErrUnknown }
