package plan

import (
	"regexp"
	"strings"
)

// names are what the columns are called in the sheets of planners and buyers,
// by the name that Columns has. Capitals, points and the signs between words do
// not count.
var names = map[string]string{
	"project": "job", "work order": "job", "wo": "job", "contract": "job", "job no": "job", "job number": "job",
	"project no": "job", "order no": "job",
	"joint no": "joint", "joint number": "joint", "joint id": "joint", "weld": "joint", "weld no": "joint", "weld number": "joint",
	"weld id": "joint", "seam": "joint", "seam no": "joint",
	"date": "week", "start": "week", "start date": "week", "start week": "week", "week no": "week", "weld date": "week",
	"planned": "week", "planned start": "week", "planned week": "week", "planned date": "week", "needed": "week", "due": "week",
	"preparation": "prep", "joint type": "prep", "weld type": "prep", "type": "prep", "joint prep": "prep", "joint preparation": "prep",
	"weld prep": "prep", "edge preparation": "prep",
	"plate thickness": "thickness", "material thickness": "thickness", "thk": "thickness", "t": "thickness",
	"gap": "opening", "root gap": "opening", "root opening": "opening",
	"land": "root_face", "groove depth": "depth", "prep depth": "depth", "groove radius": "radius",
	"leg length": "leg", "leg size": "leg", "fillet": "leg", "fillet size": "leg", "fillet leg": "leg",
	"reinforcement": "cap_height", "cap": "cap_height",
	"groove angle": "angle", "included angle": "angle",
	"weld length": "length", "length of weld": "length", "seam length": "length",
	"outside diameter": "od", "pipe od": "od", "pipe diameter": "od", "wt": "wall", "wall thickness": "wall",
	"backing bar": "backing", "backing strip": "backing",
	"welding position": "position", "weld position": "position", "pos": "position",
	"qty": "quantity", "quantity off": "quantity", "no off": "quantity", "count": "quantity", "number of joints": "quantity",

	"done": "done", "completed": "done", "complete": "done", "welded": "done", "finished": "done", "status": "done",
	"remarks": "notes", "remark": "notes", "comments": "notes", "comment": "notes", "note": "notes", "description": "notes",
}

// passNames are names of columns that a number may follow: that of the item.
// Without one they are of the first.
var passNames = map[string]string{
	"electrode": "item", "rod": "item", "filler": "item", "filler metal": "item", "consumable": "item", "class": "item",
	"classification": "item", "filler class": "item", "electrode class": "item", "item": "item",
	"size": "size", "electrode size": "size", "rod size": "size", "electrode diameter": "size", "rod diameter": "size",
	"electrode dia": "size", "rod dia": "size", "filler size": "size", "filler diameter": "size", "item size": "size",
	"share": "share", "beads": "beads", "layers": "layers",
	"flux": "flux", "flux class": "flux", "flux ratio": "flux_ratio", "flux to wire": "flux_ratio", "flux to wire ratio": "flux_ratio",
	"efficiency": "efficiency", "deposition efficiency": "efficiency",
	"wire": "item", "wire class": "item", "wire size": "size", "wire diameter": "size", "wire dia": "size",
}

var (
	between    = regexp.MustCompile(`[\s_.,;:#/-]+`)
	numbered   = regexp.MustCompile(`^(.*\D) ?([1-9])$`)
	unitBehind = regexp.MustCompile(`^(.+) (mm|cm|m|in|inch|inches|ft|feet|deg|degrees|°|%)$`)
)

// unitWords are units as headings have them beside those that a length is read
// with.
var unitWords = map[string]string{"inch": "in", "inches": "in", "feet": "ft", "degrees": "deg", "degree": "deg", "percent": "%"}

// called returns the name that Columns has for one that a planner wrote, and
// what stands behind it as its unit; the name as it is where there is no other.
func called(text string) (name, unit string) {
	words := strings.TrimSpace(between.ReplaceAllString(text, " "))
	if name, ok := known(words); ok {
		return name, ""
	}
	if m := unitBehind.FindStringSubmatch(words); m != nil {
		if name, ok := known(m[1]); ok {
			return name, m[2]
		}
	}
	return strings.ReplaceAll(words, " ", "_"), ""
}

func known(words string) (string, bool) {
	if name := strings.ReplaceAll(words, " ", "_"); setter(name) != nil || passColumn.MatchString(name) {
		return name, true
	}
	if name, ok := names[words]; ok {
		return name, true
	}
	pass := "1"
	if m := numbered.FindStringSubmatch(words); m != nil {
		words, pass = strings.TrimSpace(m[1]), m[2]
	}
	if name, ok := passNames[words]; ok {
		return name + pass, true
	}
	return "", false
}
