//go:build !unix

package lead

// runs reports that there is such a process where nobody can tell.
func runs(int) bool { return true }
