package shorthand

import (
	"slices"
	"strings"
	"testing"

	"ashbook/journal"
)

// A line that says an act was not done, is not done yet, or was done on another night
// never yields that act. Each way to say so is tried with each way to name an act.
func TestNotDone(t *testing.T) {
	ctx := heading(t, "[night] metric; wrap paper; now 2026-09-19T01:04+01:00; on 20:10; 00:30 pit 110 / core 66")
	acts := []string{
		"wrap", "wrapped", "wrapped in foil", "wrap it in paper", "spritz", "spritzed", "spritzed it with cider", "mopped", "turned it", "rotate the meat", "flipped",
		"pit 112", "core 71", "112 71", "the pit is at 112", "meat at 71", "IT 71", "pulled it off", "took it off", "off", "off the heat", "boxed", "in the cooler", "rested", "resting",
		"sliced", "pulled", "served", "unwrapped", "opened the vent", "closed the bottom vent", "vent", "vent 1/4", "added 2 chunks of oak", "add wood", "wood", "two splits on", "added charcoal", "fuel 1 kg", "half a chimney of lit",
		"lid open", "lifted the lid", "bark 2", "bark dark", "bark is set", "probe tender", "feel 3", "probes like butter", "raining", "fire out", "fire low", "relit", "filled the water pan", "moved the probe",
		"oven 120", "moved to the oven", "reheated", "saved the juice", "MB took over", "slept 2-5", "aim pit 120", "s", "v", "w cherry 90", "s v", "recheck 30", "chilled", "in the fridge", "112 71 s", "on",
	}
	before := []string{
		"not ", "about to ", "should I ", "will ", "if it stalls ", "last time I ", "last year we ", "forgot to ", "haven't ", "havent ", "didn't ", "didnt ", "dont ", "plan to ", "time to ", "ready to ", "getting ready to ",
		"supposed to ", "could have ", "would have ", "don't ", "never ", "remember to ", "need to ", "next time ", "when it's dark ", "before I ", "waiting to ", "thinking about ", "want to ", "hope to ", "let's ",
		"the book says ", "on Saturday ", "last week ", "my other one ", "tempted to ", "no need to ", "almost ", "nearly ", "going to ", "gonna ", "must ", "shall we ", "do we ", "did we ", "did I ", "has anyone ", "can someone ",
		"if it rains, ", "when it's dark, ", "next time, ", "last time: ", "instead of ", "rather than ", "without ", "looking to ", "todo ", "to do: ", "I'd ", "better ", "just before ", "right before ", "as soon as ", "no ", "aren't we ", "isn't it ", "wondering whether ", "don't know if ", "unsure if ", "expect ", "expecting ", "hoping for ", "wish I'd ", "neither ", "hardly ", "barely ", "yet to ", "still to ", "still have to ", "still need to ", "waiting for ", "target: to ", "alarm at 3 to ", "plan: ", "idea: ", "next: ", "next ",
		"last time, ", "last year, ", "yesterday, ", "Dave's brisket, ", "the neighbour says, ", "on the last one, ", "some people, ",
	}
	after := []string{
		"?", " yet?", " next time", " tomorrow", " soon", " or not", " in 20 min", " last time", " later", " instead?", " I think", " last week", " on the last one", " last year", " at the last cook", " when it's dark", " if it stalls", " once it's dark", " unless it rains", " before the guests come", " after the stall", " by 3 maybe", " next", " when ready", " in an hour", " in 2 h", " on the next one", " yesterday",
		", not yet", ", maybe", ", tomorrow", ", later", ", or not", ", next time", ", I think", ", that was last year",
	}
	words := func(line string) bool {
		l, err := Parse(line, ctx)
		return err != nil || l.items() == 0 || len(l.Asks) > 0 && l.Sure().items() == 0
	}
	bad := map[string][]string{}
	n := 0
	for _, a := range acts {
		for _, b := range before {
			n++
			if !words(b + a) {
				bad[b+"…"] = append(bad[b+"…"], a)
			}
		}
		for _, e := range after {
			n++
			if !words(a + e) {
				bad["…"+e] = append(bad["…"+e], a)
			}
		}
	}
	for f, as := range bad {
		slices.Sort(as)
		t.Errorf("%q: %d: %s", f, len(as), strings.Join(as, " | "))
	}
	t.Logf("%d lines", n)
}

// A word that nobody knows leaves its whole clause as words, wherever the word is; a
// clause ends at a joint such as "and" or "so". Only three things are still taken from such a clause: readings that name what they are of,
// two or more figures at the start of the line, and an act before words that say with
// what or what for.
func TestUnknownWordLeavesItsClause(t *testing.T) {
	for _, name := range []string{"lines.txt", "later.txt", "third.txt", "kinds.txt", "kinds2.txt", "kinds3.txt", "kinds4.txt", "kinds5.txt", "kinds6.txt", "kinds7.txt", "kinds8.txt", "kinds9.txt", "hands.txt", "hands2.txt", "pit1.txt", "pit2.txt", "pit3.txt"} {
		for _, ex := range corpus(t, name) {
			if strings.ContainsAny(ex.line, ",;.!?()—") || strings.Contains(ex.line, "--") || strings.Contains(ex.line, " - ") || strings.Contains(ex.line, "full stop") || strings.Contains(ex.line, "period") {
				continue
			}
			if l, err := Parse(ex.line, ex.ctx); err != nil || l.items() == 0 {
				continue
			}
			fields := strings.Fields(ex.line)
			for i := range len(fields) + 1 {
				line := strings.Join(slices.Insert(slices.Clone(fields), i, "zorble"), " ")
				l, err := Parse(line, ex.ctx)
				reads := !slices.ContainsFunc(l.Entries(), func(e journal.Entry) bool {
					return slices.ContainsFunc(e.Items, func(it journal.Item) bool { return !it.Act.TakesTemperature() })
				})
				leads := isDigit(ex.line[0]) && (strings.ContainsAny(fields[0], "/-") || len(fields) > 1 && strings.ContainsAny(fields[1][:1], "0123456789/"))
				tail := len(l.Left) == 1 && (tails.has(plainWord(strings.Fields(l.Left[0])[0])) || intents.has(strings.Fields(l.Left[0])[0]) || strings.HasSuffix(strings.Fields(l.Left[0])[0], "ing"))
				joined := slices.ContainsFunc(fields, func(f string) bool { return joints.has(plainWord(f)) || f == "after" || f == "when" }) && strings.Contains(strings.Join(l.Left, " "), "zorble")
				if err == nil && l.items() > 0 && !tail && !joined && !(reads && (leads || slices.ContainsFunc(fields, func(f string) bool { return plainWord(f) == "and" }))) {
					t.Errorf("%q: %s", line, describe(l))
				}
			}
		}
	}
}
