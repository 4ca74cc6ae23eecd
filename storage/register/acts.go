package register

import (
	"fmt"
	"strings"

	"ovenward/inventory"
	"ovenward/inventory/measure"
)

// mostPackages bounds the packages of one row: more than a truck holds is a slip
// of the pen.
const mostPackages = 1000

// received reads the fields of a package.
func (r *row) received() inventory.Received {
	return inventory.Received{
		Lot: r.text("lot"), Class: r.text("class"), Spec: r.text("spec"),
		Diameter: r.quantity("diameter"), Length: r.quantity("length"), Maker: r.text("maker"),
		Package: strings.ToLower(r.text("package")), Seal: strings.ToLower(r.text("seal")),
		Bundle: r.text("bundle"), Pieces: r.count("pieces"), Mass: r.quantity("mass"), Net: r.quantity("net"),
		Into: r.text("place"), Certificate: r.text("certificate"), CertificateKind: r.text("certificate_kind"),
		Made: r.day("made"), Expires: r.day("expires"), Price: r.text("price"),
	}
}

// packages are as many entries of what came in as the row says.
func (r *row) packages(in inventory.Received) []inventory.Entry {
	n := int(r.count("packages"))
	if r.text("packages") == "" {
		n = 1
	}
	switch {
	case n < 1 || n > mostPackages:
		r.wrong("packages", fmt.Sprintf("not a number from 1 to %d", mostPackages), "count the packages again")
		return nil
	case n > 1 && in.Bundle != "":
		r.wrong("bundle", fmt.Sprintf("one mark for %d packages", n), "give each marked package a row of its own")
		return nil
	}
	all := make([]inventory.Entry, n)
	for i := range all {
		one := in
		all[i] = &one
	}
	return all
}

func (r *row) receiving() []Act {
	in := r.received()
	if in.Lot == "" {
		r.wrong("lot", "the lot has no number", "enter the lot or heat number from the label; stock without one is practice stock, of the stock register")
	}
	at := r.instant("date", "time")
	acts := []Act{{At: at, By: r.text("by"), Entries: r.packages(in)}}
	if qa := r.text("accepted_by"); qa != "" {
		acts = append(acts, Act{At: at, Entries: []inventory.Entry{
			&inventory.LotReleased{Lot: in.Lot, Note: "accepted on paper by " + qa}}})
	}
	return acts
}

// stock reads what lies on a shelf at the first stock-take.
func (r *row) stock() []Act {
	in := r.received()
	in.Existing, in.Found = true, r.text("found")
	do := strings.ToLower(r.text("do"))
	switch {
	case do == "" && in.Lot == "", do == inventory.Practice:
		in.Use = inventory.Practice
		if in.Lot == "" {
			in.Lot = strings.Join(strings.Fields(fmt.Sprintf("%s %s %s", inventory.Practice, in.Class, in.Diameter)), " ")
		}
	case do != "" && do != "hold" && do != "scrap":
		r.wrong("do", "not a way to enter stock", "write hold, practice or scrap")
	case in.Lot == "":
		r.wrong("lot", "nothing says which lot it is", "leave \"do\" empty to enter it as practice stock, which goes into no code job, or throw it away")
	}
	entries := r.packages(in)
	if do == "scrap" {
		return r.scrapped(in, entries)
	}
	return []Act{{At: r.instant("date", "time"), By: r.text("by"), Entries: entries}}
}

// scrapped enters stock that is thrown away at once, so that its value is
// written off in the books.
func (r *row) scrapped(in inventory.Received, entries []inventory.Entry) []Act {
	at := r.instant("date", "time")
	why := "first stock-take"
	if in.Found != "" {
		why += ": " + in.Found
	}
	acts := []Act{{At: at, By: r.text("by"), Entries: entries}}
	for range entries {
		acts = append(acts, Act{At: at, By: r.text("by"), Entries: []inventory.Entry{&inventory.Scrapped{Why: why}}})
	}
	return acts
}

func (r *row) issue() []Act {
	out := &inventory.Issued{Slip: r.text("slip"), Bundle: r.text("bundle"), Class: r.text("class"), Diameter: r.quantity("diameter"),
		Pieces: r.count("pieces"), Mass: r.quantity("mass"), Welder: r.text("welder"), Holder: r.text("holder"),
		Job: r.text("job"), Joints: names(r.text("joints"))}
	a := Act{At: r.instant("date", "time"), By: r.text("by"), Entries: []inventory.Entry{out}, Lot: r.text("lot")}
	if out.Bundle != "" {
		a.Lot = ""
	}
	if r.text("back_time") == "" {
		if r.cameBack() {
			r.wrong("back_time", "rods came back at no time", "write when they came back")
		}
		return []Act{a}
	}
	back := r.back("back_", "back_by", a.At)
	back[0].Welder = ""
	return append([]Act{a}, back...)
}

// cameBack reports whether the row says that anything came back.
func (r *row) cameBack() bool {
	for _, name := range []string{"unused", "unused_mass", "stubs", "damaged", "unidentified"} {
		if r.text(name) != "" {
			return true
		}
	}
	return false
}

// back reads what came back, of a return or of the second half of an issue,
// whose rods went out first; zero where the row does not say when.
func (r *row) back(prefix, by string, first measure.Instant) []Act {
	in := &inventory.Returned{Slip: r.text("slip"), Unused: r.count("unused"), UnusedMass: r.quantity("unused_mass"),
		Stubs: r.count("stubs"), Damaged: r.count("damaged"), Unidentified: r.count("unidentified"),
		Wet: r.yes("wet"), Into: r.text("into"), As: r.text("as")}
	a := Act{At: r.later(prefix+"date", prefix+"time", first), By: r.text(by), Entries: []inventory.Entry{in}}
	if in.Slip == "" {
		if a.Welder = r.text("welder"); a.Welder == "" && prefix == "" {
			r.wrong("slip", "neither a slip nor a welder", "write the number of the slip, or who brought the rods back")
		}
	}
	return []Act{a}
}

func (r *row) yes(name string) bool {
	switch s := strings.ToLower(r.text(name)); s {
	case "", "no", "n", "0", "-":
		return false
	case "yes", "y", "x", "1", "wet":
		return true
	default:
		r.wrong(name, "neither yes nor no", "write yes or no")
		return false
	}
}

func (r *row) bake() []Act {
	in := &inventory.Baked{Bundle: r.text("bundle"), Place: r.text("place"), Set: r.quantity("set"),
		Layers: r.count("layers"), Load: r.quantity("load")}
	a := Act{At: r.instant("date", "time"), By: r.text("by"), Entries: []inventory.Entry{in}, Lot: r.text("lot")}
	if in.Bundle != "" {
		a.Lot = ""
	} else if a.Lot == "" {
		r.wrong("bundle", "neither a bundle nor a lot", "write the mark of the bundle that was baked")
	}
	if r.text("end") == "" {
		return []Act{a}
	}
	end := r.later("end_date", "end", a.At)
	if r.text("into") == "" {
		r.wrong("into", "taken out and put nowhere", "write where the rods were put, such as H1")
	}
	return []Act{a, {At: end, By: a.By, Entries: []inventory.Entry{&inventory.Moved{Bundle: in.Bundle, Into: r.text("into")}}}}
}

// names reads joints parted by commas or semicolons.
func names(s string) []string {
	var out []string
	for _, n := range strings.FieldsFunc(s, func(c rune) bool { return c == ',' || c == ';' }) {
		if n = strings.TrimSpace(n); n != "" {
			out = append(out, n)
		}
	}
	return out
}
