package demand

// OnTime is how often jobs start 0, 1 and 2 weeks late where a shop has no
// history. From memory: no published figure was found.
func OnTime() []float64 { return []float64{0.8, 0.15, 0.05} }

// jointsBefore is for how many joints OnTime counts.
const jointsBefore = 20

// mostLate bounds how late a start is told apart.
const mostLate = 4

// LearnLate draws the chances of a late start from by how many weeks joints
// were late, of which few are drawn toward OnTime. Early is in time.
func LearnLate(weeks []int) []float64 {
	chances := make([]float64, mostLate+1)
	for i, p := range OnTime() {
		chances[i] = p * jointsBefore
	}
	for _, w := range weeks {
		chances[min(max(w, 0), mostLate)]++
	}
	for i := range chances {
		chances[i] /= jointsBefore + float64(len(weeks))
	}
	return chances
}
