package playbook

// number counts steps and decisions through the card.
func (c *Card) number() {
	n := 0
	for g := range c.Groups {
		for i := range c.Groups[g].Lines {
			ln := &c.Groups[g].Lines[i]
			if ln.Ticked() {
				n++
				ln.Number = n
			}
			if ln.Locked {
				c.Locked++
			}
		}
	}
}

// resolve turns the targets of decisions and stops into step numbers. A target that
// is not printed at this site is stood in for by the next step that is.
func (c *Card) resolve(p *Playbook) {
	at, total := c.numbers(p), c.Steps()
	p.each(func(it *Item) {
		g, ln := c.find(it.ID)
		if ln == nil || it.Ask == "" && it.Then == "" {
			return
		}
		target := func(to string) int {
			n, ok := at[to]
			switch to {
			case "", "done":
				return 0
			case "next":
				n, ok = ln.Number+1, true
			case "after":
				n, ok = c.lastIn(g)+1, true
			}
			switch {
			case !ok:
				return -1
			case n > total:
				return 0
			}
			return n
		}
		ln.Then = target(it.Then)
		if it.Ask != "" {
			ln.Yes, ln.No = target(it.Yes), target(it.No)
		}
	})
}

// numbers are the step numbers by id; one that is not printed at this site has that of the next
// step that is, or the last line's.
func (c *Card) numbers(p *Playbook) map[string]int {
	at := map[string]int{}
	for _, g := range c.Groups {
		for _, ln := range g.Lines {
			if ln.ID != "" {
				at[ln.ID] = ln.Number
			}
		}
	}
	var hidden []string
	p.each(func(it *Item) {
		if it.ID == "" || it.Do == "" && it.Ask == "" {
			return
		}
		if n, ok := at[it.ID]; ok {
			for _, id := range hidden {
				at[id] = n
			}
			hidden = nil
			return
		}
		hidden = append(hidden, it.ID)
	})
	for _, id := range hidden {
		at[id] = c.Steps() + 1
	}
	return at
}

// find returns the group and line of a step.
func (c *Card) find(id string) (int, *Line) {
	for g := range c.Groups {
		for i := range c.Groups[g].Lines {
			if id != "" && c.Groups[g].Lines[i].ID == id {
				return g, &c.Groups[g].Lines[i]
			}
		}
	}
	return 0, nil
}

// lastIn is the number of the last numbered line up to the end of group g.
func (c *Card) lastIn(g int) int {
	last := 0
	for i := 0; i <= g; i++ {
		for _, ln := range c.Groups[i].Lines {
			last = max(last, ln.Number)
		}
	}
	return last
}

// Steps is the number of numbered lines.
func (c *Card) Steps() int { return c.lastIn(len(c.Groups) - 1) }
