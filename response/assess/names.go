package assess

import (
	"regexp"
	"strings"
	"sync"

	"tidehold/refs"
)

// otherNames are what laboratories call the contaminants of the tables beside the
// names and symbols that stand there, in German, French, Spanish, Italian and Dutch.
// Common names of the elements; folded when read.
var otherNames = map[string]string{
	"aluminium": "alluminio aluminio", "copper": "kupfer cuivre cobre rame koper", "zinc": "zink cinc zinco",
	"nickel": "niquel nichel nikkel", "lead": "blei plomb plomo piombo lood", "cadmium": "kadmium cadmio",
	"chromium_vi": "chrom chrome cromo chroom chromvi chrom(vi) chromevi cromovi chroomvi chromgesamt", "chromium_iii": "chromiii chromeiii cromoiii chroomiii",
	"mercury": "quecksilber mercure mercurio kwik hg", "silver": "silber argent plata argento zilver",
	"tin_inorganic": "zinn etain estano stagno", "tributyltin": "tributylzinn tributyletain tributilestano tributilstagno",
	"iron": "eisen fer hierro ferro ijzer", "manganese": "mangan manganese manganeso mangaan", "cobalt": "kobalt cobalto",
	"vanadium": "vanadin vanadio", "molybdenum": "molybdan molybdaen molybdene molibdeno molybdeen", "arsenic": "arsen arsenico arseen",
	"antimony": "antimon antimoine antimonio antimoon", "selenium": "selen selenio seleen", "barium": "baryum bario", "lithium": "litio",
	"boron": "bor bore boro boor", "iodine": "jod iod iode yodo iodio jodium jodid iodure yoduro ioduro jodide",
	"titanium": "titan titane titanio titaan", "tungsten": "wolfram tungstene wolframio volframio tungsteno",
	"ammonia_total": "ammoniumstickstoff ammoniakstickstoff ammoniaque azoteammoniacal amoniaco amoniacototal nitrogenoamoniacal ammoniaca azotoammoniacale ammoniak totalammonia ammoniumstikstof",
	"nitrite":       "nitrit nitrito nitriti nitriet", "nitrate": "nitrat nitrato nitrati nitraat",
	"phosphate":  "phosphat orthophosphat fosfato ortofosfato fosfati ortofosfati fosfaat orthofosfaat po43 po4 solublereactivephosphate",
	"chlorine":   "chlor chlore cloro chloor gesamtchlor freieschlor chloretotal chlorelibre clorototal clorolibre clorototale totaalchloor vrijchloor totalresidualchlorine",
	"chloramine": "chloramin cloramina clorammina chlooramine", "cyanide": "cyanid cyanure cianuro cianuri",
	"hydrogen_sulfide": "schwefelwasserstoff hydrogenesulfure sulfurodehidrogeno acidosolfidrico idrogenosolforato waterstofsulfide zwavelwaterstof",
	"sulfide":          "sulfid sulfure sulfuro solfuro solfuri sulphide",
	"silicate":         "silikat kieselsaure silicium silizium silicato silicio silicati silicaat",
	"sodium":           "natrium sodio", "chloride": "chlorid chlorure cloruro cloruri", "sulfate": "sulfat sulphate sulfato solfato solfati sulfaat so42",
	"calcium": "calcio kalzium", "magnesium": "magnesio", "potassium": "kalium potasio potassio",
	"strontium": "estroncio stronzio", "bromide": "bromid bromure bromuro bromuri brom", "fluoride": "fluorid fluorure fluoruro fluoruri fluor",
	"nonylphenol": "nonilfenol nonilfenolo nonylfenol", "phenol": "fenol fenolo", "permethrin": "permetrina permethrine",
	"chlorpyrifos": "clorpirifos", "diazinon": "diazinone", "malathion": "malation", "carbaryl": "carbaril",
}

// elsewhere are lines a water report often has that are no contaminants: they are
// listed as not judged. Folded.
var elsewhere = strings.Fields(`salinity salinitat salinite salinidad salinita saliniteit sal ph phwert valeurph temperature temperatur temperatura temperatuur temp
	alkalinity alkalinitat alcalinite alcalinidad alcalinita alkaliniteit totalalkalinity kh dkh karbonatharte carbonatehardness
	conductivity leitfahigkeit conductivite conductividad conducibilita geleidbaarheid density dichte densite densidad densita dichtheid sg specificgravity
	sulfur sulphur schwefel soufre azufre zolfo zwavel s oxygen sauerstoff oxygene oxigeno ossigeno zuurstof o2 dissolvedoxygen redox orp turbidity trubung turbidite
	doc toc tss totalphosphorus gesamtphosphor totalnitrogen gesamtstickstoff dissolvednitrogen totaldissolvedsolids tds hardness`)

// others are elements that no table here has. Folded.
var others = strings.Fields(`beryllium be bismuth bi wismut cerium ce caesium cesium cs dysprosium dy erbium er europium eu gadolinium gd gallium ga germanium ge gold au hafnium hf holmium ho indium in iridium ir
	lanthanum lanthan la lutetium lu neodymium nd niobium niob nb osmium os palladium pd platinum platin pt praseodymium pr rhenium re rhodium rh rubidium rb ruthenium ru
	samarium sm scandium sc tantalum tantal ta tellurium te terbium tb thallium tl thorium th thulium tm uranium uran u ytterbium yb yttrium y zirconium zr`)

// Why a known name is not judged: NoContaminant is a property of the water itself.
const (
	NoContaminant = "no contaminant"
	notInTables   = "not in the tables"
)

// names is every spelling known, folded: to a contaminant's id, or to the reason why it
// is not judged.
var names = sync.OnceValue(func() map[string]string {
	out := map[string]string{}
	for _, w := range elsewhere {
		out[w] = NoContaminant
	}
	for _, w := range others {
		out[w] = notInTables
	}
	for id, list := range otherNames {
		for _, w := range strings.Fields(list) {
			out[fold(w)] = id
		}
	}
	for _, c := range refs.Contaminants() {
		for _, s := range append([]string{c.ID, c.Name}, c.Aliases...) {
			out[fold(s)] = c.ID
		}
	}
	return out
})

// fractions are the words for the fraction of an element that stand beside its name,
// folded.
var fractions = func() map[string]string {
	out := map[string]string{}
	for name, words := range map[string]string{
		"dissolved": "dissolved diss filtered filt filtriert gelost geloest gel dissous dissoute dissout filtre filtree disuelto disuelta filtrado filtrada disciolto disciolta filtrato filtrata opgelost gefiltreerd",
		"total":     "total tot totale totals totaux totali totaal gesamt ges insgesamt unfiltered unfiltriert recoverable",
	} {
		for _, w := range strings.Fields(words) {
			out[w] = name
		}
	}
	return out
}()

var (
	letters   = regexp.MustCompile(`\pL+\.?`)
	asElement = regexp.MustCompile(`(?i)\b(as|als|en|come|como|comme)\s+(NH3-N|NH4-N|NO3-N|NO2-N|PO4-P|N|P|S|NH3|NH4|NO3|NO2|PO4|H2S|Si|SiO2)\b`)
	charge    = regexp.MustCompile(`[0-9]*[+\-−]+$`)
)

// analyte is what a name was found to be.
type analyte struct {
	contaminant refs.Contaminant
	fraction    string // "dissolved", "total" or ""
	as          string // what the name says the result is given as: "N", "NO3", …
	why         string // known, but not judged: the reason; else ""
}

// find looks an analyte up by its name, symbol, formula or a mixture of them.
func find(text string) (analyte, bool) {
	a := analyte{}
	if m := asElement.FindStringSubmatch(text); m != nil {
		a.as = strings.ToUpper(m[2])
		text = asElement.ReplaceAllString(text, "")
	}
	if a.known(text) {
		return a, true
	}
	plain := text
	a.fraction, plain = cutFraction(plain)
	for _, candidate := range pieces(plain) {
		b := a
		if !b.known(candidate) {
			continue
		}
		// Another fraction of anything but an element is another analyte: total
		// phosphorus is no phosphate.
		if b.fraction != "" && b.why == "" && !elemental(b.contaminant.ID) {
			continue
		}
		return b, true
	}
	return analyte{}, false
}

// cutFraction takes the words for a fraction out of a text; dissolved wins where both
// stand ("total dissolved").
func cutFraction(text string) (fraction, rest string) {
	rest = letters.ReplaceAllStringFunc(text, func(word string) string {
		f, ok := fractions[fold(word)]
		if !ok {
			return word
		}
		if fraction != "dissolved" {
			fraction = f
		}
		return " "
	})
	return fraction, rest
}

// pieces are the parts of a name that may be the name by itself: the whole, what
// stands before a bracket, what stands in it, and before a comma or slash.
func pieces(text string) []string {
	trim := func(s string) string { return strings.Trim(strings.TrimSpace(s), ",;/()[] -") }
	out := []string{trim(text)}
	if before, after, ok := strings.Cut(text, "("); ok {
		inside, rest, _ := strings.Cut(after, ")")
		out = append(out, trim(before+" "+rest), trim(before), trim(inside))
	}
	for _, mark := range []string{",", "/", " - ", " – "} {
		if before, after, ok := strings.Cut(text, mark); ok {
			out = append(out, trim(before), trim(after))
		}
	}
	return out
}

// known fills the analyte if the text is a name of something.
func (a *analyte) known(text string) bool {
	key := fold(text)
	if key == "" {
		return false
	}
	if f, ok := forms[key]; ok {
		a.contaminant, _ = refs.ContaminantByID(f.id)
		if a.as == "" {
			a.as = f.as
		}
		return true
	}
	id, ok := names()[key]
	if !ok {
		id, ok = names()[fold(charge.ReplaceAllString(strings.TrimSpace(text), ""))]
	}
	if !ok {
		return false
	}
	if id == NoContaminant || id == notInTables {
		a.why = id
		return true
	}
	a.contaminant, ok = refs.ContaminantByID(id)
	return ok
}

// elemental reports whether the id is an element, whose fractions are the same
// analyte.
func elemental(id string) bool {
	c, ok := refs.ContaminantByID(id)
	if !ok {
		return false
	}
	for _, alias := range append([]string{c.ID}, c.Aliases...) {
		if len(alias) <= 2 {
			return true
		}
	}
	return strings.HasPrefix(id, "chromium")
}

// nearest is the known spelling closest to a name, for a slip of the keys. Names
// longer than any spelling are not compared: that takes time for nothing.
func nearest(text string) (string, bool) {
	const longest = 40
	if len(text) > longest || len([]rune(fold(text))) < 3 {
		return "", false
	}
	var all []string
	for _, c := range refs.Contaminants() {
		all = append(append(all, c.ID, c.Name), c.Aliases...)
	}
	return refs.Nearest(text, all)
}
