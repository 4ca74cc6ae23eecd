package rules

import "fmt"

func (r *HopperRow) figures() []figure { return []figure{longest("limit", r.Limit)} }

// figures compares lives that are counted from the same day: months and years
// by the days that the longest of them have.
func (r *ShelfLifeRow) figures() []figure {
	days := r.Years*366 + r.Months*31 + r.Days
	return []figure{upTo("life from the day "+string(r.From)+", in days, months and years", days, r.life())}
}

func (r *WarmUpRow) figures() []figure {
	return []figure{coldest("below", r.Below), shortest("wait", r.Wait), granted("cold = \"warn\"", r.Cold == ColdWarns)}
}

func (r *BlendRow) figures() []figure {
	return []figure{atLeast("new_min_percent", r.NewMin, fmt.Sprintf("%d %%", r.NewMin)),
		upTo("recycled_max_percent", r.RecycledMax, fmt.Sprintf("%d %%", r.RecycledMax))}
}
