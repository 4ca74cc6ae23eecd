package main

import (
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// shopLines set up the shop that most scripts begin in, at 06:00 on 2 March
// 2026: a holding oven H1, a bake oven BK and a quiver Q1, all proven hot, and
// stock of three lots. "_" stands for a space inside of a word.
//
//	B0001-G  7B21  E7018 1/8 in     150 rods, open in H1 since 06:00
//	B0002-E  7B21  E7018 1/8 in     150 rods, sealed
//	B0003-C  6C07  E6010 1/8 in     100 rods, sealed; cellulosic
//	B0004-A  5D90  E8018-C3 5/32 in  80 rods, open in H1 since 06:00
const shopLines = `
setup --zone America/Halifax
rules approve structural-2015-a --confirm e7018m,e70-x,e90-x,e100-x --use
oven add H1
oven add BK --kind bake_oven
oven add Q1 --kind quiver
oven read H1 255F
oven read BK 700F
oven read Q1 255F
receive 7B21 --class E7018 --size 1/8_in --length 14_in --package hermetic_can --pieces 150 --packages 2
receive 6C07 --class E6010 --size 1/8_in --package hermetic_can --pieces 100
receive 5D90 --class E8018-C3 --size 5/32_in --package hermetic_can --pieces 80
lot release 7B21
lot release 6C07
lot release 5D90
open B0001-G --into H1
open B0004-A --into H1
`

// setUpShop is the scripts' command shop.
func setUpShop(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) > 0 {
		ts.Fatalf("usage: shop")
	}
	ts.Setenv("OVENWARD_BY", "A1")
	setClock(ts, scriptDay+" 06:00")
	for line := range strings.Lines(strings.TrimSpace(shopLines)) {
		args := strings.Fields(line)
		for i, a := range args {
			args[i] = strings.ReplaceAll(a, "_", " ")
		}
		within(ts, args...)
	}
}
