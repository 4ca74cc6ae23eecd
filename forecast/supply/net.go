package supply

// NetNeeds returns what each period lacks beside what is on hand, what is due to
// come in it and the lots before it: NR = max(0, need + safety - left before -
// receipts). Receipts may be nil.
func NetNeeds(needs []int64, onHand int64, receipts []int64, safety int64) []int64 {
	net := make([]int64, len(needs))
	left := onHand
	for t, need := range needs {
		if t < len(receipts) {
			left += receipts[t]
		}
		net[t] = max(0, need+safety-left)
		left += net[t] - need
	}
	return net
}
