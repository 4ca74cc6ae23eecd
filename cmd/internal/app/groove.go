package app

import (
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
)

// Built is a joint with the layers in which it is welded.
type Built struct {
	Joint  joint.Joint // with the sizes of the preparation that it names
	Filled metal.Filled
	Layers []metal.Layer // none where the weld lies between no two faces
}

// Build estimates the layers and beads of a joint. The error is an
// *joint.UncomputedError.
func (t Tables) Build(j joint.Joint) (Built, error) {
	r, f, err := t.fill(j)
	if err != nil {
		return Built{}, err
	}
	return Built{Joint: r.Joint, Filled: f, Layers: metal.Build(f, j.Passes)}, nil
}
