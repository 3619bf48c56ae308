package gas

import (
	"maps"
	"math"
	"slices"

	"spanroom/internal/problem"
)

// gasConstant is the molar gas constant in L·bar/(mol·K).
const gasConstant = 0.0831446261815324

// principalShare is the fraction from which a component decides alone whether the content may be liquid.
const principalShare = 0.9 - 1e-9

// component is one gas of a mixture with what its own terms need.
type component struct {
	name     string
	fraction float64
	critical critical
	fit      *fit
}

// pair is two unlike gases of a mixture: the pseudo-critical temperature, R·Tc/Pc and acentric factor of Tsonopoulos.
type pair struct {
	weight, kelvin, litres, omega float64
}

// Mixture is a Mix made ready for calculation. It does not change and may be used by many at once.
type Mixture struct {
	components []component
	pairs      []pair
	principal  *component
}

// NewMixture prepares a mix once for any number of pressures and temperatures. It refuses when a component above the
// trace limit has no critical constants, and names it.
func NewMixture(mix Mix) (*Mixture, error) {
	normal, err := mix.Normal()
	if err != nil {
		return nil, err
	}
	m := &Mixture{}
	table := virial()
	var known float64
	for _, name := range slices.Sorted(maps.Keys(normal)) {
		fraction := normal[name]
		constants, ok := table.Critical[name]
		if !ok && fraction > traceLimit {
			return nil, refusal("weigh it: without them pressure does not give the content",
				"there are no critical constants for %s, and its fraction of %.4g is more than a trace", name, fraction)
		}
		if !ok {
			continue
		}
		known += fraction
		c := component{name: name, fraction: fraction, critical: constants}
		if f, ok := table.Fits[name]; ok {
			c.fit = &f
		}
		m.components = append(m.components, c)
	}
	if len(m.components) == 0 {
		return nil, refusal("weigh it: without them pressure does not give the content", "no component has critical constants")
	}
	m.balance(1 - known)
	m.join(table)
	return m, nil
}

// balance counts the traces as balance gas, the largest component, and finds the principal one.
func (m *Mixture) balance(traces float64) {
	largest := &m.components[0]
	for i := range m.components {
		if m.components[i].fraction > largest.fraction {
			largest = &m.components[i]
		}
	}
	largest.fraction += traces
	if largest.fraction >= principalShare {
		m.principal = largest
	}
}

// join prepares the unlike pairs. A pair without a fitted number takes the one that follows from the critical volumes.
func (m *Mixture) join(table virialTable) {
	for i, a := range m.components {
		for _, b := range m.components[i+1:] {
			rootA, rootB := math.Cbrt(a.critical.litres()), math.Cbrt(b.critical.litres())
			k, ok := table.pairNumber(a.name, b.name)
			if !ok {
				k = 1 - 8*math.Sqrt(a.critical.litres()*b.critical.litres())/cube(rootA+rootB)
			}
			m.pairs = append(m.pairs, pair{
				weight: 2 * a.fraction * b.fraction,
				kelvin: math.Sqrt(a.critical.Kelvin*b.critical.Kelvin) * (1 - k),
				litres: cube((rootA+rootB)/2) / ((a.critical.factor() + b.critical.factor()) / 2),
				omega:  (a.critical.Omega + b.critical.Omega) / 2,
			})
		}
	}
}

// State is a mixture at one temperature. It is small and cheap to copy; keep it while only the pressure changes.
type State struct {
	kelvin, b, c float64
	densest      float64 // mol/L, where the gas branch of the isotherm ends; infinite where it does not
}

// At gives the mixture's virial coefficients at a temperature.
func (m *Mixture) At(kelvin float64) State {
	s := State{kelvin: kelvin}
	var root float64
	for _, c := range m.components {
		b3, c3 := c.virial(kelvin)
		s.b += c.fraction * c.fraction * b3
		root += c.fraction * math.Cbrt(c3)
	}
	for _, p := range m.pairs {
		s.b += p.weight * p.litres * tsonopoulos(p.kelvin/kelvin, p.omega)
	}
	s.c = cube(root)
	s.densest = densest(s.b, s.c)
	return s
}

// densest gives the lowest density at which pressure stops rising, the first zero of 1 + 2Bρ + 3Cρ².
func densest(b, c float64) float64 {
	if d := b*b - 3*c; d >= 0 && math.Sqrt(d) > b {
		return 1 / (math.Sqrt(d) - b)
	}
	return math.Inf(1)
}

// virial gives a component's own B in L/mol and C in (L/mol)².
func (c component) virial(kelvin float64) (second, third float64) {
	if f := c.fit; f != nil {
		u := 300 / kelvin
		return f[0] + u*(f[1]+u*(f[2]+u*f[3])), f[4] + u*(f[5]+u*f[6])
	}
	scale := gasConstant * c.critical.Kelvin / c.critical.Bar
	inverse := c.critical.Kelvin / kelvin
	return scale * tsonopoulos(inverse, c.critical.Omega), scale * scale * orbeyVera(inverse, c.critical.Omega)
}

// tsonopoulos is B·Pc/(R·Tc) of a non-polar gas by Tsonopoulos (1974); u is Tc/T.
func tsonopoulos(u, omega float64) float64 {
	u2 := u * u
	u3 := u2 * u
	u8 := u3 * u3 * u2
	simple := 0.1445 - 0.330*u - 0.1385*u2 - 0.0121*u3 - 0.000607*u8
	return simple + omega*(0.0637+0.331*u2-0.423*u3-0.008*u8)
}

// orbeyVera is C·(Pc/(R·Tc))² of a non-polar gas by Orbey and Vera (1983); u is Tc/T.
func orbeyVera(u, omega float64) float64 {
	u3 := u * u * u
	soft, hard := math.Pow(u, 2.8), math.Pow(u, 10.5)
	simple := 0.01407 + 0.02432*soft - 0.00313*hard
	return simple + omega*(-0.02676+0.01770*soft+0.040*u3-0.003*u3*u3-0.00228*hard)
}

// Z gives the real-gas factor at an absolute pressure, on the low-density side. It fails outside the range of the
// model, and where the model has no gas at that pressure; it says nothing about liquid: Content does.
func (s State) Z(barAbs float64) (float64, error) {
	var wrong problem.Fields
	kelvins.check(&wrong, "temperature_k", s.kelvin)
	bars.check(&wrong, "pressure_bar_abs", barAbs)
	if err := wrong.Err(); err != nil {
		return 0, err
	}
	z := s.factor(barAbs)
	if math.IsNaN(z) {
		return 0, refusal("ask at a lower pressure or a higher temperature", "there is no gas at %.4g bar and %.1f K in this model", barAbs, s.kelvin)
	}
	return z, nil
}

// factor solves p = ρRT(1 + Bρ + Cρ²), written for Z with ideal density r = p/RT: Z³ = Z² + BrZ + Cr².
// The lowest density is the largest Z; NaN where that is past the gas branch.
func (s State) factor(barAbs float64) float64 {
	r := barAbs / (gasConstant * s.kelvin)
	z := largestRoot(s.b*r, s.c*r*r)
	if z <= 0 || r > s.densest*z*(1+1e-9) {
		return math.NaN()
	}
	return z
}

// density is in mol/L; a pressure below vacuum holds nothing.
func (s State) density(barAbs float64) float64 {
	if barAbs <= 0 {
		return 0
	}
	return barAbs / (gasConstant * s.kelvin * s.factor(barAbs))
}

// largestRoot gives the largest real z with z³ = z² + bz + c by Cardano, with z = t + 1/3 and t³ = 3pt + 2q.
func largestRoot(b, c float64) float64 {
	p := (b + 1.0/3) / 3
	q := 1.0/27 + b/6 + c/2
	d := q*q - p*p*p
	if d < 0 {
		side := math.Sqrt(p)
		return 1.0/3 + 2*side*math.Cos(math.Acos(q/(p*side))/3)
	}
	t := math.Cbrt(q + math.Copysign(math.Sqrt(d), q))
	if t == 0 {
		return 1.0 / 3
	}
	return 1.0/3 + t + p/t
}

func cube(x float64) float64 { return x * x * x }
