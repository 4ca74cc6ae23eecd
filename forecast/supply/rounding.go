package supply

// rounding is a lot as it is ordered.
type rounding struct {
	lack     int64   // what the method asks for, beside what earlier orders had over
	pieces   int64   // to order
	price    float64 // of one piece
	breakAt  int64   // the quantity from which a lower price was taken; zero: none was
	saved    float64 // by the lower price, less what it costs to keep the rest
	outdated int64
}

// rounded rounds lots to whole packages, the least order and, where that costs
// less, to the next price. What is over counts for the lots behind it.
func (l Line) rounded(lots []int64) []rounding {
	out := make([]rounding, len(lots))
	asked, ordered := int64(0), int64(0)
	for t, lot := range lots {
		asked += lot
		r := rounding{lack: asked - ordered}
		if r.lack <= 0 {
			continue
		}
		r.pieces = l.Policy.packs(r.lack)
		l.cheaper(&r, lots[t+1:])
		r.price = PriceAt(l.Policy.Breaks, r.pieces)
		ordered += r.pieces
		r.outdated = l.outdated(t, ordered, asked, lots)
		out[t] = r
	}
	return out
}

// cheaper takes the quantity of a lower price where the plan needs all of it,
// in date, and it costs less to buy it now and keep it than to buy the rest
// later.
func (l Line) cheaper(r *rounding, later []int64) {
	now, base := PriceAt(l.Policy.Breaks, r.pieces), r.pieces
	for _, b := range l.Policy.Breaks {
		more := l.Policy.packs(b.From)
		if b.From <= base || now == 0 {
			continue
		}
		price := PriceAt(l.Policy.Breaks, more)
		kept, all := l.keeping(more-r.lack, later), l.keeping(base-r.lack, later)
		saved := float64(more)*(now-price) - (kept.weeks-all.weeks)*l.Policy.holdWeek(price)
		if kept.left == 0 && saved > r.saved {
			r.pieces, r.breakAt, r.saved = more, b.From, saved
		}
	}
}

// keep is what becomes of pieces that are over.
type keep struct {
	weeks float64 // that all pieces are kept, added up
	left  int64   // that no lot takes, or none in date
}

// keeping gives what is over to the lots behind it.
func (l Line) keeping(over int64, later []int64) keep {
	k := keep{left: over}
	for n, lot := range later {
		if k.left <= 0 || l.Policy.ShelfWeeks > 0 && n+1 >= l.Policy.ShelfWeeks {
			break
		}
		k.weeks += float64(k.left)
		k.left = max(0, k.left-lot)
	}
	return k
}

// outdated is how much of an order the plan does not need before it runs out of
// date; what lies behind the plan's end is not known to be lost.
func (l Line) outdated(t int, ordered, asked int64, lots []int64) int64 {
	end := t + l.Policy.ShelfWeeks
	if l.Policy.ShelfWeeks == 0 || end > len(lots) {
		return 0
	}
	return max(0, ordered-asked-total(lots[t+1:end]))
}
