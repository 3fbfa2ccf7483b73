/*
 * An independent search for water-change plans, to try to beat tidehold's: written from the
 * contract (what a keeper may do), sharing nothing with the planner. Random policies are
 * played out, each a full plan; the best in time, or else the best at all, is printed.
 *
 * It is careful on purpose: volumes and heat are mixed linearly and every limit is kept
 * with a margin, so that a plan it finds is one a keeper could carry out.
 *
 * Input, on standard input, blank-separated numbers:
 *   nTanks (systems that strike together and share everything), then for each:
 *     V drawdownL everyH leadH leastShare S0 T0 dTstep dTday Tlow Thigh dSstep dSday Slow Shigh
 *     reheats C0 target withinH riseUgLH (what a source adds, as a rise of the level)
 *   horizonH rollouts seed short
 *   (short: a plan may also end unfinished at the horizon; its last concentration then counts for as long again)
 *   reserveL mixH cutH saltKg kgPerL pureL pureC pureRoomL rateLH feedC litrePurePerL newUgL
 *   nVats, then for each: volL capL heelL S T heaterW lossWK roomC pumpLH ugL mixes readyH
 *   (a delivery of saltwater is such a vat, which is there from readyH on)
 *   nDeliveries, then for each: afterH kind(1 purified,2 salt) amount tempC
 *   clockH wakeH sleepH (the time of day at the start, and between which changes and batches are started;
 *   wakeH < 0: at any hour)
 * Output: missed (tanks that are late) exposure finishH waterL, then the steps.
 */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAXV 24
#define MAXK 3
#define MAXD 8
#define MAXSTEP 200
#define JPERL (4.09e3) /* J/(L K), seawater near 25 C */
#define MARGIN_T 0.02
#define MARGIN_S 0.02
#define FULL 0.995 /* only this much of any water is counted on */

typedef struct { double vol, cap, heel, s, t, heater, loss, room, pump, ug, ready; int mixes; } vat0;
typedef struct { double vol, s, t, base, ready, busy, ug, stop; } vat; /* stop: the heater stops there */
typedef struct { double at, amount, t; int kind; } delivery;
typedef struct { double at, litres, c0, c1; int tank, nfrom; int from[MAXV]; double x[MAXV]; } step;

typedef struct {
  double V, most, every, lead, least, S0, T0, dTs, dTd, Tl, Th, dSs, dSd, Sl, Sh, C0, target, within, rise;
  int reheats;
} tank0;

static double horizon, reserve, mixH, cutH, salt0, kgPerL, pure0, pureC, pureRoom, rate, feedC, purePerL, newUg, clock0, wake, rest;
static int nk;
static tank0 ks[MAXK];
static int nv, nd;
static vat0 vs[MAXV];
static delivery ds[MAXD];

static uint64_t rs;
static double rnd(void) { rs ^= rs << 13; rs ^= rs >> 7; rs ^= rs << 17; return (double)(rs >> 11) / 9007199254740992.0; }

/* the temperature of a vat at time h: a lump with a heater */
static double temp(const vat *v, const vat0 *w, double h) {
  double dt = h - v->base;
  if (w->heater <= 0 || v->vol <= 0 || v->t >= v->stop || dt <= 0) return v->t;
  if (w->heater <= w->loss * (v->t - w->room)) return v->t;
  double c = v->vol * JPERL, t;
  if (w->loss <= 0) t = v->t + w->heater / c * dt * 3600 * 0.995;
  else { double end = w->room + w->heater / w->loss; t = end + (v->t - end) * exp(-w->loss / c * dt * 3600 * 0.995); }
  return t < v->stop ? t : v->stop;
}

/* the next time of day at which somebody is up, not before h; always in the first four hours */
static double upAt(double h) {
  if (wake < 0 || h <= 4) return h;
  double now = fmod(clock0 + h, 24), up = fmod(rest - wake + 24, 24), since = fmod(now - wake + 24, 24);
  return since <= up ? h : h + 24 - since;
}

typedef struct {
  double c, next, sT, sS, finish;
  int nheld; double heldT[MAXSTEP + 1], heldS[MAXSTEP + 1], until[MAXSTEP + 1];
} tank;

typedef struct {
  double t, pure, pureT, salt, exposure, water;
  vat v[MAXV];
  tank k[MAXK];
  int came;
  int nstep; step st[MAXSTEP];
} state;

static void pass(state *z, double to) {
  double dt = to - z->t;
  if (dt <= 0) return;
  for (int i = 0; i < nk; i++) if (!isfinite(z->k[i].finish)) {
    double e = z->k[i].c - ks[i].target, end = e + ks[i].rise * dt; /* a source makes it rise steadily */
    if (e > 0) z->exposure += (e + end) / 2 * dt / ks[i].target;
    else if (end > 0) z->exposure += end * end / (2 * ks[i].rise) / ks[i].target;
    z->k[i].c += ks[i].rise * dt;
  }
  if (rate > 0 && z->pure < pureRoom) {
    double made = rate * dt; if (z->pure + made > pureRoom) made = pureRoom - z->pure;
    if (made > 0) { z->pureT = (z->pureT * fmax(z->pure, 0) + feedC * made) / fmax(z->pure + made, 1e-9); z->pure += made; }
  }
  z->t = to;
  while (z->came < nd && ds[z->came].at <= to) {
    if (ds[z->came].kind == 1) {
      double x = ds[z->came].amount * FULL;
      z->pureT = (z->pureT * fmax(z->pure, 0) + ds[z->came].t * x) / fmax(fmax(z->pure, 0) + x, 1e-9); z->pure += x;
    }
    if (ds[z->came].kind == 2) z->salt += ds[z->came].amount * FULL;
    z->came++;
  }
}

static double usable(const state *z, int i) {
  const vat *v = &z->v[i];
  if (v->ready > z->t + 1e-9 || v->busy > z->t + 1e-9) return 0;
  double x = (v->vol - vs[i].heel) * FULL;
  return x > 0 ? x : 0;
}

/* lo/hi band of temperature and salinity now */
static void band(const state *z, const tank *k, const tank0 *w, double *tl, double *th, double *sl, double *sh) {
  double lt = k->sT, ht = k->sT, ls = k->sS, hs = k->sS;
  for (int i = 0; i < k->nheld; i++) if (k->until[i] > z->t - 24 + 1e-6) {
    lt = fmin(lt, k->heldT[i]); ht = fmax(ht, k->heldT[i]); ls = fmin(ls, k->heldS[i]); hs = fmax(hs, k->heldS[i]);
  }
  *tl = fmax(fmax(k->sT - w->dTs, ht - w->dTd), w->Tl) + MARGIN_T; *th = fmin(fmin(k->sT + w->dTs, lt + w->dTd), w->Th) - MARGIN_T;
  *sl = fmax(fmax(k->sS - w->dSs, hs - w->dSd), w->Sl) + MARGIN_S; *sh = fmin(fmin(k->sS + w->dSs, ls + w->dSd), w->Sh) - MARGIN_S;
  *tl = fmin(*tl, k->sT); *th = fmax(*th, k->sT); *sl = fmin(*sl, k->sS); *sh = fmax(*sh, k->sS);
}

/* put together a change of tank j from vats in the given order; returns litres */
static double compose(const state *z, int j, const int *order, int n, double want, double *x) {
  const tank *k = &z->k[j];
  double tl, th, sl, sh, L = 0, qt = 0, qs = 0, V = ks[j].V;
  band(z, k, &ks[j], &tl, &th, &sl, &sh);
  for (int i = 0; i < nv; i++) x[i] = 0;
  double left = -reserve;
  for (int i = 0; i < nv; i++) left += usable(z, i);
  if (left < want) want = left;
  for (int pass2 = 0; pass2 < 3; pass2++)
    for (int o = 0; o < n; o++) {
      int i = order[o];
      double a = usable(z, i) - x[i];
      if (a > want - L) a = want - L;
      if (a <= 1e-6) continue;
      double dt = (temp(&z->v[i], &vs[i], z->t) - k->sT) / V, dsal = (z->v[i].s - k->sS) / V;
      double f = a;
      if (dt > 0) f = fmin(f, (th - k->sT - qt) / dt); else if (dt < 0) f = fmin(f, (tl - k->sT - qt) / dt);
      if (dsal > 0) f = fmin(f, (sh - k->sS - qs) / dsal); else if (dsal < 0) f = fmin(f, (sl - k->sS - qs) / dsal);
      if (f <= 0) continue;
      x[i] += f; L += f; qt += f * dt; qs += f * dsal;
    }
  return L;
}

static double minutes(int i, double l) { return vs[i].pump > 0 ? l / vs[i].pump * 60 : l / 10; }

static void shuffle(const state *z, int j, int *order, int mode) {
  const tank *t = &z->k[j];
  for (int i = 0; i < nv; i++) order[i] = i;
  for (int i = nv - 1; i > 0; i--) { int k = (int)(rnd() * (i + 1)); int o = order[i]; order[i] = order[k]; order[k] = o; }
  if (mode == 0) return;
  for (int i = 1; i < nv; i++) for (int k = i; k > 0; k--) { /* cleanest, closest or largest first */
    const vat *a = &z->v[order[k]], *b = &z->v[order[k - 1]];
    double fa, fb;
    if (mode == 1) { fa = a->ug; fb = b->ug; }
    else if (mode == 2) {
      fa = fabs(temp(a, &vs[order[k]], z->t) - t->sT) / fmax(ks[j].dTs, .01) + fabs(a->s - t->sS) / fmax(ks[j].dSs, .01);
      fb = fabs(temp(b, &vs[order[k - 1]], z->t) - t->sT) / fmax(ks[j].dTs, .01) + fabs(b->s - t->sS) / fmax(ks[j].dSs, .01);
    } else { fa = -a->vol; fb = -b->vol; }
    if (fa < fb) { int o = order[k]; order[k] = order[k - 1]; order[k - 1] = o; } else break;
  }
}

static int ready(const state *z, int j) { return !isfinite(z->k[j].finish) && z->t >= z->k[j].next - 1e-9; }

/* one change of tank j; returns 1 when made */
static int change(state *z, int j, double scale) {
  int order[MAXV]; double x[MAXV];
  tank *k = &z->k[j]; const tank0 *w = &ks[j];
  if (!ready(z, j) || z->nstep >= MAXSTEP || upAt(z->t) > z->t) return 0;
  double best = 0, bx[MAXV] = {0};
  int tries = 1 + (int)(rnd() * 3);
  for (int n = 0; n < tries; n++) {
    shuffle(z, j, order, (int)(rnd() * 4));
    compose(z, j, order, nv, w->most * scale * (1 - 1e-9), x);
    double fall = 0;
    for (int i = 0; i < nv; i++) fall += x[i] * (k->c - z->v[i].ug) / w->V;
    if (fall > best) { best = fall; memcpy(bx, x, sizeof bx); }
  }
  if (best <= 0) return 0;
  double L = 0, need = k->c - w->target, f = 1;
  if (best > need) f = need / best * (1 + 1e-9);
  for (int i = 0; i < nv; i++) { bx[i] *= f; L += bx[i]; }
  if (f >= 1 && L < w->least * w->V) return 0;
  step *s = &z->st[z->nstep++];
  s->tank = j; s->at = z->t; s->litres = L; s->c0 = k->c; s->nfrom = 0;
  k->heldT[k->nheld] = k->sT; k->heldS[k->nheld] = k->sS; k->until[k->nheld++] = z->t;
  double min = 0, c = k->c, t = k->sT, sal = k->sS;
  for (int i = 0; i < nv; i++) if (bx[i] > 0) {
    double vt = temp(&z->v[i], &vs[i], z->t);
    min += minutes(i, bx[i]);
    c -= bx[i] * (k->c - z->v[i].ug) / w->V; t += bx[i] * (vt - k->sT) / w->V; sal += bx[i] * (z->v[i].s - k->sS) / w->V;
    z->v[i].t = vt; z->v[i].base = z->t; z->v[i].vol -= bx[i];
    s->from[s->nfrom] = i; s->x[s->nfrom++] = bx[i];
  }
  double end = z->t + 2 * min / 60;
  for (int i = 0; i < nv; i++) if (bx[i] > 0) z->v[i].busy = fmax(z->v[i].busy, end);
  k->c = c; k->sT = w->reheats ? w->T0 : t; k->sS = sal; s->c1 = c;
  k->next = upAt(fmax(z->t + w->every, end));
  z->water += L;
  if (c <= w->target * (1 + 1e-9)) k->finish = end;
  return 1;
}

static int done(const state *z) {
  for (int j = 0; j < nk; j++) if (!isfinite(z->k[j].finish)) return 0;
  return 1;
}

/* a batch of x litres in vat i for tank j, as much as there is for it */
static int batch(state *z, int i, int j, double x) {
  vat *v = &z->v[i];
  double kg = kgPerL * ks[j].S0 / ks[0].S0;
  if (!vs[i].mixes || v->ready > z->t || v->busy > z->t) return 0;
  x = fmin(x, (vs[i].cap - v->vol) * FULL);
  if (kg <= 0) return 0;
  x = fmin(x, z->salt * FULL / kg);
  x = fmin(x, z->pure * FULL / purePerL);
  if (x < 1e-3 * ks[j].V) return 0;
  double old = v->vol, vt = temp(v, &vs[i], z->t);
  v->t = (vt * old + z->pureT * x) / (old + x);
  v->s = (v->s * old + ks[j].S0 * x) / (old + x);
  v->ug = (v->ug * old + newUg * x) / (old + x);
  v->vol = old + x; v->base = z->t; v->ready = z->t + mixH; v->stop = ks[j].T0;
  z->pure -= x * purePerL; z->salt -= x * kg;
  return 1;
}

/* cut a vat that is too salty with purified water: to a salinity, pouring away what there is no room or, if wanted, no
   purified water for */
static int cut(state *z, int i, double S0, int pours) {
  vat *v = &z->v[i];
  if (v->ready > z->t || v->busy > z->t || v->s < S0 + 0.1 || v->vol < 1) return 0;
  double share = (v->s - S0) / v->s; /* of the finished volume */
  double keep = v->vol, add = keep * share / (1 - share);
  if (keep + add > vs[i].cap) { keep = vs[i].cap * (1 - share) * FULL; add = keep * share / (1 - share); }
  if (add > z->pure * FULL) {
    if (!pours || z->pure < .02 * ks[0].V) return 0;
    add = z->pure * FULL; keep = add * (1 - share) / share;
  }
  double vt = temp(v, &vs[i], z->t);
  v->t = (vt * keep + z->pureT * add) / (keep + add);
  v->ug = v->ug * keep / (keep + add);
  v->vol = keep + add; v->s = S0; v->base = z->t; v->ready = z->t + cutH;
  z->pure -= add;
  return 1;
}

/* lift a vat that is too fresh with salt */
static int lift(state *z, int i, double S0) {
  vat *v = &z->v[i];
  if (v->ready > z->t || v->busy > z->t || v->s > S0 - 0.1 || v->vol < 1 || kgPerL <= 0 || S0 <= 0) return 0;
  double kg = v->vol * kgPerL * (S0 - v->s) / ks[0].S0 * 1.01;
  if (kg > z->salt * FULL || v->vol * 1.02 > vs[i].cap) return 0;
  v->t = temp(v, &vs[i], z->t); v->base = z->t; v->s = S0; v->ready = z->t + mixH; v->ug += newUg * 0.1;
  z->salt -= kg;
  return 1;
}

static int any(void) { return nk == 1 ? 0 : (int)(rnd() * nk); }

static void start(state *z) {
  memset(z, 0, sizeof *z);
  z->pure = pure0; z->pureT = pureC; z->salt = salt0;
  for (int j = 0; j < nk; j++) {
    tank *k = &z->k[j];
    k->c = ks[j].C0; k->sT = ks[j].T0; k->sS = ks[j].S0; k->next = upAt(ks[j].lead); k->finish = INFINITY;
  }
  for (int i = 0; i < nv; i++) {
    vat *v = &z->v[i];
    v->vol = vs[i].vol; v->s = vs[i].s; v->t = vs[i].t; v->ug = vs[i].ug; v->ready = vs[i].ready; v->stop = ks[any()].T0;
  }
}

static void play(state *z) {
  double eager[MAXK], batchy = rnd() < .3 ? 1 : rnd(), cutty = rnd(), patience = rnd(), wide = rnd(), empt = rnd() < .15 ? rnd() : 0, share[MAXK];
  double near = rnd();
  int pours = rnd() < .5;
  for (int j = 0; j < nk; j++) { eager[j] = rnd(); share[j] = nk > 1 && rnd() < .6 ? rnd() : 1; }
  start(z);
  for (int i = 0; i < nv; i++) if (rnd() < empt && vs[i].mixes) { z->v[i].vol = fmin(z->v[i].vol, vs[i].heel); }
  for (int guard = 0; guard < 4000 && z->t < horizon; guard++) {
    for (int n = 0, j = any(); n < nk; n++, j = (j + 1) % nk)
      if (ready(z, j) && rnd() < .35 + .65 * eager[j]) if (change(z, j, share[j] * (rnd() < .85 ? 1 : .2 + .8 * rnd()))) if (done(z)) return;
    for (int i = 0; upAt(z->t) <= z->t + 1e-9 && i < nv; i++) {
      int j = any(); const tank0 *w = &ks[j];
      if (rnd() < cutty) cut(z, i, near < .5 ? w->S0 : w->S0 + (near - .5) * 4 * w->dSs, pours);
      if (rnd() < cutty * .5) lift(z, i, w->S0);
      int low = z->v[i].vol <= vs[i].heel + .02 * w->V;
      if (vs[i].mixes && rnd() < batchy * (low ? 1 : .15)) {
        double x = rnd() < .3 ? 1e9 : rnd() < .5 ? w->most + vs[i].heel : (rnd() < .5 ? w->V : w->most) * rnd() * 1.5;
        if (rnd() < wide || z->pure >= fmin(x, vs[i].cap) * purePerL) batch(z, i, j, x);
      }
    }
    double next = INFINITY;
    for (int n = 0, j = any(); n < nk; n++, j = (j + 1) % nk) {
      if (ready(z, j) && rnd() < .5 * eager[j]) if (change(z, j, share[j])) if (done(z)) return;
      if (!isfinite(z->k[j].finish)) next = fmin(next, z->k[j].next > z->t + 1e-9 ? z->k[j].next : INFINITY);
    }
    double to = z->t + (patience < .5 ? .25 + 3 * rnd() : .1 + rnd() * ks[any()].every); /* a while */
    to = fmin(to, next);
    for (int i = 0; i < nv; i++) {
      if (z->v[i].ready > z->t + 1e-9) to = fmin(to, z->v[i].ready + 1e-9);
      if (z->v[i].busy > z->t + 1e-9) to = fmin(to, z->v[i].busy + 1e-9);
    }
    if (z->came < nd) to = fmin(to, fmax(ds[z->came].at, z->t + 1e-6));
    if (upAt(to) > to + 1e-9 && rnd() < .5) to = upAt(to);
    to = fmin(to, horizon);
    pass(z, to);
  }
}

static int late(const state *z) {
  int n = 0;
  for (int j = 0; j < nk; j++) n += !(z->k[j].finish <= ks[j].within * (1 - 1e-6));
  return n;
}

static double finish(const state *z) {
  double h = 0;
  for (int j = 0; j < nk; j++) h = fmax(h, z->k[j].finish);
  return h;
}

int main(void) {
  int rollouts, brief; double seed;
  if (scanf("%d", &nk) != 1 || nk > MAXK) return 2;
  for (int j = 0; j < nk; j++) {
    tank0 *w = &ks[j];
    if (scanf("%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%d%lf%lf%lf%lf", &w->V, &w->most, &w->every, &w->lead, &w->least, &w->S0, &w->T0, &w->dTs, &w->dTd, &w->Tl, &w->Th, &w->dSs, &w->dSd, &w->Sl, &w->Sh, &w->reheats, &w->C0, &w->target, &w->within, &w->rise) != 20) return 2;
  }
  if (scanf("%lf%d%lf%d", &horizon, &rollouts, &seed, &brief) != 4) return 2;
  if (scanf("%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf", &reserve, &mixH, &cutH, &salt0, &kgPerL, &pure0, &pureC, &pureRoom, &rate, &feedC, &purePerL, &newUg) != 12) return 2;
  if (scanf("%d", &nv) != 1 || nv > MAXV) return 2;
  for (int i = 0; i < nv; i++)
    if (scanf("%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%d%lf", &vs[i].vol, &vs[i].cap, &vs[i].heel, &vs[i].s, &vs[i].t, &vs[i].heater, &vs[i].loss, &vs[i].room, &vs[i].pump, &vs[i].ug, &vs[i].mixes, &vs[i].ready) != 12) return 2;
  if (scanf("%d", &nd) != 1 || nd > MAXD) return 2;
  for (int i = 0; i < nd; i++) if (scanf("%lf%d%lf%lf", &ds[i].at, &ds[i].kind, &ds[i].amount, &ds[i].t) != 4) return 2;
  if (scanf("%lf%lf%lf", &clock0, &wake, &rest) != 3) return 2;
  rs = (uint64_t)seed * 2654435761u + 88172645463325252ull;
  for (int i = 0; i < 20; i++) rnd();
  static state z, best;
  int have = 0;
  for (int r = 0; r < rollouts; r++) {
    play(&z);
    if (nk == 1 && !isfinite(z.k[0].finish)) {
      if (!brief) continue;
      pass(&z, horizon);
      z.exposure += horizon * (z.k[0].c - ks[0].target) / ks[0].target;
    }
    if (!have || late(&z) < late(&best) || (late(&z) == late(&best) && z.exposure < best.exposure)) { best = z; have = 1; }
  }
  if (!have) { printf("none\n"); return 0; }
  printf("%d %.9g %.9g %.9g\n", late(&best), best.exposure, finish(&best), best.water);
  for (int k = 0; k < best.nstep; k++) {
    step *s = &best.st[k];
    printf("at %.3f h: tank %d, %.2f L, %.5g -> %.5g, from", s->at, s->tank, s->litres, s->c0, s->c1);
    for (int i = 0; i < s->nfrom; i++) printf(" v%d:%.2f", s->from[i], s->x[i]);
    printf("\n");
  }
  return 0;
}
