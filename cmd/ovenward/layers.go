package main

import "github.com/urfave/cli/v2"

// layersFlag is how many layers of rods lie on each other where they are put.
func layersFlag(into *string) cli.Flag {
	return &cli.StringFlag{Name: "layers", Usage: "`NUMBER` of layers of rods on each other", Destination: into}
}
