package app

import "ashbook/report/provision/runsheet"

// SavePlan makes the files of a plan's cooks, all or none, and returns their IDs.
func (a *App) SavePlan(p *runsheet.Sheet) ([]string, error) {
	var cooks []fresh
	for i, c := range p.Cooks() {
		cooks = append(cooks, fresh{p.Loads[i].OnBy, c})
	}
	return a.create("planned", cooks...)
}
