package playbook

import (
	"regexp"
	"strings"
)

// verbs are the command forms a step may begin with. "Check", "set", "ensure" and
// their like are missing on purpose: they name no value or state to reach.
var verbs = set(`flush add ask bag blow bring call carry catch clamp close collect connect count cover cut dip disconnect
dissolve do drain dry empty fill finish find fit float follow get give hang heat hold hook keep label lay lead leave lift light listen look lower let
make mark note mix mop move net open phone pick place plan plug point pour press pull pump push put raise read refuel remove
replace rinse save scoop seal send shut sieve siphon skim soak stand start stay stir stop switch tag take tape tell test tie touch
turn unplug use wait wake warm warn wash watch wear weigh wipe wrap write`)

// banned words say neither the value nor the state to reach.
var banned = regexp.MustCompile(`(?i)\b(check|set|ensure|make sure|verify|monitor|adjust|as required|as needed|as necessary|appropriate|adequate|sufficient|normal|proper|properly|correctly)\b`)

// vague words leave the reader to guess.
var vague = regexp.MustCompile(`(?i)\b(if possible|if necessary|quickly|slowly|a few|several|some|soon|carefully|regularly|about|approximately|roughly|gently|briefly|etc)\b`)

// sums are words that ask the reader to calculate.
var sums = regexp.MustCompile(`(?i)\b(calculate|work out|multiply|divide|subtract|add up|minus|plus|percent of|half of|twice the)\b|[×÷]`)

// joined are two actions in one line.
var joined = regexp.MustCompile(`(?i)\band then\b|;`)

// glossary maps words that are not used to the one that is.
var glossary = map[string]string{
	"aquarium": "tank", "display": "tank", "barrel": "vat", "drum": "vat", "tub": "bin", "container": "bin or vat",
	"ro": "purified water", "rodi": "purified water", "freshwater": "purified water", "powerhead": "pump",
	"ato": "top-off", "gfci": "ground-fault breaker", "rcd": "ground-fault breaker", "fishes": "fish",
}

// instruments are what a reading is taken with.
var instruments = regexp.MustCompile(`(?i)\b(thermometer|meter|test|test kit|scale|dipstick|alarm)\b`)

// quoted is what somebody is to say; other words may be needed there.
var quoted = regexp.MustCompile(`"[^"]*"`)

// number is a bare amount in a text, not a step number or a clock time.
var number = regexp.MustCompile(`\b\d+(\.\d+)?\b`)

// unitAfter are words that may stand behind an amount.
var unitAfter = set(`g/l l ml gal kg g lb oz m cm mm ft in °c °f min h d s mg/l µg/l % dkh w wh hours days minutes second seconds
ph pipe trips trip changes change step steps times time l. mg/l. °c. °f. h. min. d. readings tests people`)

func set(list string) map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(list) {
		out[w] = true
	}
	return out
}

// wordCount counts the words of a text as they are read aloud.
func wordCount(s string) int { return len(strings.Fields(s)) }

// commandFirst says that a step begins with a command verb, or with a condition
// and, behind its comma, a command verb.
func commandFirst(text string) bool {
	first, rest, _ := strings.Cut(strings.ToLower(text), " ")
	switch first {
	case "if", "when", "after", "before":
		for ok := true; ok; {
			// A condition may be a list: the command stands behind one of its commas.
			if _, rest, ok = strings.Cut(rest, ", "); ok {
				if verb, _, _ := strings.Cut(rest, " "); verbs[verb] {
					return true
				}
			}
		}
		return false
	}
	return verbs[first]
}

// unitless returns the first amount without a unit or noun behind it, "" if none.
func unitless(text string) string {
	for _, at := range number.FindAllStringIndex(text, -1) {
		rest := strings.ToLower(text[at[1]:])
		before := strings.ToLower(strings.TrimSpace(text[:at[0]]))
		if strings.HasPrefix(rest, ":") || strings.HasSuffix(text[:at[0]], ":") || strings.HasSuffix(text[:at[0]], "-") || strings.HasPrefix(rest, "-") {
			continue // a clock time or a date
		}
		if strings.HasPrefix(rest, " to ") || strings.HasSuffix(before, "step") || strings.HasSuffix(before, "every") {
			continue // the first number of a range; a step number
		}
		after := strings.Fields(rest)
		switch {
		case strings.HasPrefix(rest, "%"), strings.HasPrefix(rest, "°"):
		case len(after) > 0 && !strings.HasPrefix(rest, " "):
			return text[at[0]:at[1]]
		case len(after) == 0:
			return text[at[0]:at[1]]
		case unitAfter[strings.TrimRight(after[0], ".,:)")], strings.HasPrefix(after[0], "("):
		case len(strings.Trim(strings.TrimRight(after[0], ".,:)"), "abcdefghijklmnopqrstuvwxyz-")) == 0 && len(after[0]) > 2:
		default:
			return text[at[0]:at[1]]
		}
	}
	return ""
}

// shouted says that more than three words in a row are all capitals.
func shouted(text string) bool {
	run := 0
	for _, w := range strings.Fields(text) {
		letters := strings.Trim(w, ".,:!?\"()")
		if len(letters) > 1 && letters == strings.ToUpper(letters) && letters != strings.ToLower(letters) {
			if run++; run > 3 {
				return true
			}
			continue
		}
		run = 0
	}
	return false
}
