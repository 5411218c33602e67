package practice

import (
	"backroad/internal/rehearsal"
)

// Row is a line of the planned order beside one that was done. One side is empty where
// something was left out or put in.
type Row struct {
	Step    string // of the plan
	Planned string // an action, "" for none
	Done    string // a line of the log, "" for none
	At      int    // place of Done in the log, from 0; -1 for none
}

// Compare lays the log beside the planned order, without the optional steps, so that as
// many actions as possible stand beside their like: the same verb done to the same thing.
// What only says, ticks or looks with fluoroscopy is not compared.
func Compare(p rehearsal.Protocol, log []Line) []Row {
	var planned []planned1
	for _, s := range p.Steps {
		if s.Optional {
			continue
		}
		for _, a := range s.Do {
			planned = append(planned, planned1{s.ID, a})
		}
	}
	var done []done1
	for i, l := range log {
		if verb, what, ok := doneBy(l); ok {
			done = append(done, done1{i, l.String(), verb, what})
		}
	}
	return rows(planned, done)
}

type planned1 struct {
	step   string
	action rehearsal.Action
}

type done1 struct {
	at   int
	text string
	verb rehearsal.Verb
	what string
}

// doneBy is what a line did, as far as it can stand in a plan.
func doneBy(l Line) (rehearsal.Verb, string, bool) {
	switch l.Kind {
	case Act:
		return l.Action.Verb, l.Action.What, true
	case By, Until:
		if l.Way == rehearsal.Pull {
			return rehearsal.PullTo, string(l.What), true
		}
		return rehearsal.PushTo, string(l.What), true
	}
	return "", "", false
}

func alike(p planned1, d done1) bool { return p.action.Verb == d.verb && p.action.What == d.what }

// rows aligns both lists by their longest common subsequence (any textbook of
// algorithms), planned before done where neither has a like.
func rows(planned []planned1, done []done1) []Row {
	n, m := len(planned), len(done)
	best := make([][]int, n+1)
	for i := range best {
		best[i] = make([]int, m+1)
	}
	for i := n - 1; i >= 0; i-- {
		for j := m - 1; j >= 0; j-- {
			best[i][j] = max(best[i+1][j], best[i][j+1])
			if alike(planned[i], done[j]) {
				best[i][j] = max(best[i][j], best[i+1][j+1]+1)
			}
		}
	}
	var out []Row
	i, j := 0, 0
	for i < n || j < m {
		switch {
		case i < n && j < m && alike(planned[i], done[j]) && best[i][j] == best[i+1][j+1]+1:
			out = append(out, Row{planned[i].step, planned[i].action.String(), done[j].text, done[j].at})
			i, j = i+1, j+1
		case i < n && (j == m || best[i+1][j] >= best[i][j+1]):
			out = append(out, Row{planned[i].step, planned[i].action.String(), "", -1})
			i++
		default:
			out = append(out, Row{"", "", done[j].text, done[j].at})
			j++
		}
	}
	return out
}
