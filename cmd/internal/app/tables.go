package app

import (
	"ovenward/forecast/joint"
	"ovenward/forecast/metal"
)

// Tables are what planned joints are computed with.
type Tables struct {
	Metal *metal.Catalogue
	Named *joint.Catalogue
}

// DefaultTables returns the tables that come with the program.
func DefaultTables() (Tables, error) {
	m, err := metal.Default()
	if err != nil {
		return Tables{}, err
	}
	n, err := joint.DefaultCatalogue()
	return Tables{Metal: m, Named: n}, err
}

// tables are the shop's, or those that come with the program.
func (a *App) tables() (Tables, error) {
	if a.Tables != nil {
		return a.Tables()
	}
	return DefaultTables()
}
