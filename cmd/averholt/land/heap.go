package land

// queue hands out the item of the least key first, and of equal keys the one of
// the lower number, so that its order depends on nothing else.
type queue struct{ items []queued }

type queued struct {
	key float64
	at  int32
}

func (a queued) before(b queued) bool { return a.key < b.key || a.key == b.key && a.at < b.at }

func (q *queue) empty() bool { return len(q.items) == 0 }

func (q *queue) push(key float64, at int) {
	q.items = append(q.items, queued{})
	i, item := len(q.items)-1, queued{key, int32(at)}
	for i > 0 {
		up := (i - 1) / 2
		if !item.before(q.items[up]) {
			break
		}
		q.items[i] = q.items[up]
		i = up
	}
	q.items[i] = item
}

func (q *queue) pop() (key float64, at int) {
	first := q.items[0]
	last := q.items[len(q.items)-1]
	q.items = q.items[:len(q.items)-1]
	if len(q.items) > 0 {
		q.sink(last)
	}
	return first.key, int(first.at)
}

func (q *queue) sink(item queued) {
	n, i := len(q.items), 0
	for {
		down := 2*i + 1
		if down >= n {
			break
		}
		if down+1 < n && q.items[down+1].before(q.items[down]) {
			down++
		}
		if !q.items[down].before(item) {
			break
		}
		q.items[i] = q.items[down]
		i = down
	}
	q.items[i] = item
}
