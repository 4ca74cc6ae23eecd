package app

import (
	"crypto/sha256"
	"fmt"

	"github.com/google/uuid"
)

// following returns the id of the i-th fact that was recorded together with a
// first one: of the same version and time, with other random bits. So the same
// request makes the same ids, whenever and wherever it is made.
func following(first string, i int) string {
	id, err := uuid.Parse(first)
	if err != nil {
		return first // an id of no form is refused where it is recorded
	}
	const timed = 6 // bytes before the version
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %d", first, i))
	version, variant := id[timed]&0xf0, id[timed+2]&0xc0
	copy(id[timed:], sum[:])
	id[timed] = version | id[timed]&0x0f
	id[timed+2] = variant | id[timed+2]&0x3f
	return id.String()
}
