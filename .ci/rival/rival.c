/*
 * An independent search for water-change plans, to try to beat tidehold's: written from the
 * contract (what a keeper may do), sharing nothing with the planner. Random policies are
 * played out, each a full plan; the best in time, or else the best at all, is printed.
 *
 * It is careful on purpose: volumes and heat are mixed linearly and every limit is kept
 * with a margin, so that a plan it finds is one a keeper could carry out.
 *
 * Input, on standard input, blank-separated numbers:
 *   V drawdownL everyH leadH leastShare S0 T0 dTstep dTday Tlow Thigh dSstep dSday Slow Shigh
 *   reheats C0 target withinH horizonH rollouts seed
 *   reserveL mixH cutH saltKg kgPerL pureL pureC pureRoomL rateLH feedC litrePurePerL newUgL
 *   nVats, then for each: volL capL heelL S T heaterW lossWK roomC pumpLH ugL mixes
 *   nDeliveries, then for each: afterH kind(0 saltwater,1 purified,2 salt) amount
 * Output: missed exposure finishH waterL, then the steps.
 */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAXV 24
#define MAXD 8
#define MAXSTEP 200
#define JPERL (4.09e3) /* J/(L K), seawater near 25 C */
#define MARGIN_T 0.02
#define MARGIN_S 0.02
#define FULL 0.995 /* only this much of any water is counted on */

typedef struct { double vol, cap, heel, s, t, heater, loss, room, pump, ug; int mixes; } vat0;
typedef struct { double vol, s, t, base, ready, busy, ug; } vat;
typedef struct { double at, amount; int kind; } delivery;
typedef struct { double at, litres, c0, c1; int nfrom; int from[MAXV]; double x[MAXV]; } step;

static double V, most, every, lead, least, S0, T0, dTs, dTd, Tl, Th, dSs, dSd, Sl, Sh;
static int reheats;
static double C0, target, within, horizon, reserve, mixH, cutH, salt0, kgPerL, pure0, pureC, pureRoom, rate, feedC, purePerL, newUg;
static int nv, nd;
static vat0 vs[MAXV];
static delivery ds[MAXD];

static uint64_t rs;
static double rnd(void) { rs ^= rs << 13; rs ^= rs >> 7; rs ^= rs << 17; return (double)(rs >> 11) / 9007199254740992.0; }

/* the temperature of a vat at time h: a lump with a heater that stops at T0 */
static double temp(const vat *v, const vat0 *w, double h) {
  double dt = h - v->base;
  if (w->heater <= 0 || v->vol <= 0 || v->t >= T0 || dt <= 0) return v->t;
  if (w->heater <= w->loss * (v->t - w->room)) return v->t;
  double c = v->vol * JPERL, t;
  if (w->loss <= 0) t = v->t + w->heater / c * dt * 3600 * 0.995;
  else { double end = w->room + w->heater / w->loss; t = end + (v->t - end) * exp(-w->loss / c * dt * 3600 * 0.995); }
  return t < T0 ? t : T0;
}

typedef struct {
  double t, next, c, sT, sS, pure, pureT, salt, exposure, water, finish;
  vat v[MAXV];
  int nheld; double heldT[MAXSTEP + 1], heldS[MAXSTEP + 1], until[MAXSTEP + 1];
  int came;
  int nstep; step st[MAXSTEP];
} state;

static void pass(state *z, double to) {
  double dt = to - z->t;
  if (dt <= 0) return;
  double e = z->c - target; if (e > 0) z->exposure += e * dt / target;
  if (rate > 0 && z->pure < pureRoom) {
    double made = rate * dt; if (z->pure + made > pureRoom) made = pureRoom - z->pure;
    if (made > 0) { z->pureT = (z->pureT * fmax(z->pure, 0) + feedC * made) / fmax(z->pure + made, 1e-9); z->pure += made; }
  }
  z->t = to;
  while (z->came < nd && ds[z->came].at <= to) {
    if (ds[z->came].kind == 1) z->pure += ds[z->came].amount * FULL;
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
static void band(const state *z, double *tl, double *th, double *sl, double *sh) {
  double lt = z->sT, ht = z->sT, ls = z->sS, hs = z->sS;
  for (int i = 0; i < z->nheld; i++) if (z->until[i] > z->t - 24 + 1e-6) {
    lt = fmin(lt, z->heldT[i]); ht = fmax(ht, z->heldT[i]); ls = fmin(ls, z->heldS[i]); hs = fmax(hs, z->heldS[i]);
  }
  *tl = fmax(fmax(z->sT - dTs, ht - dTd), Tl) + MARGIN_T; *th = fmin(fmin(z->sT + dTs, lt + dTd), Th) - MARGIN_T;
  *sl = fmax(fmax(z->sS - dSs, hs - dSd), Sl) + MARGIN_S; *sh = fmin(fmin(z->sS + dSs, ls + dSd), Sh) - MARGIN_S;
  *tl = fmin(*tl, z->sT); *th = fmax(*th, z->sT); *sl = fmin(*sl, z->sS); *sh = fmax(*sh, z->sS);
}

/* put together a change from vats in the given order; returns litres */
static double compose(const state *z, const int *order, int n, double want, double *x) {
  double tl, th, sl, sh, L = 0, qt = 0, qs = 0;
  band(z, &tl, &th, &sl, &sh);
  for (int i = 0; i < nv; i++) x[i] = 0;
  double left = -reserve;
  for (int i = 0; i < nv; i++) left += usable(z, i);
  if (left < want) want = left;
  for (int pass2 = 0; pass2 < 3; pass2++)
    for (int k = 0; k < n; k++) {
      int i = order[k];
      double a = usable(z, i) - x[i];
      if (a > want - L) a = want - L;
      if (a <= 1e-6) continue;
      double dt = (temp(&z->v[i], &vs[i], z->t) - z->sT) / V, dsal = (z->v[i].s - z->sS) / V;
      double f = a;
      if (dt > 0) f = fmin(f, (th - z->sT - qt) / dt); else if (dt < 0) f = fmin(f, (tl - z->sT - qt) / dt);
      if (dsal > 0) f = fmin(f, (sh - z->sS - qs) / dsal); else if (dsal < 0) f = fmin(f, (sl - z->sS - qs) / dsal);
      if (f <= 0) continue;
      x[i] += f; L += f; qt += f * dt; qs += f * dsal;
    }
  return L;
}

static double minutes(int i, double l) { return vs[i].pump > 0 ? l / vs[i].pump * 60 : l / 10; }

static double shuffle(const state *z, int *order, int mode) {
  for (int i = 0; i < nv; i++) order[i] = i;
  for (int i = nv - 1; i > 0; i--) { int k = (int)(rnd() * (i + 1)); int o = order[i]; order[i] = order[k]; order[k] = o; }
  if (mode == 0) return 0;
  for (int i = 1; i < nv; i++) for (int k = i; k > 0; k--) { /* cleanest, closest or largest first */
    const vat *a = &z->v[order[k]], *b = &z->v[order[k - 1]];
    double fa, fb;
    if (mode == 1) { fa = a->ug; fb = b->ug; }
    else if (mode == 2) { fa = fabs(temp(a, &vs[order[k]], z->t) - z->sT) / fmax(dTs, .01) + fabs(a->s - z->sS) / fmax(dSs, .01); fb = fabs(temp(b, &vs[order[k - 1]], z->t) - z->sT) / fmax(dTs, .01) + fabs(b->s - z->sS) / fmax(dSs, .01); }
    else { fa = -a->vol; fb = -b->vol; }
    if (fa < fb) { int o = order[k]; order[k] = order[k - 1]; order[k - 1] = o; } else break;
  }
  return 0;
}

/* one change; returns 1 when made */
static int change(state *z, double scale) {
  int order[MAXV]; double x[MAXV];
  if (z->nstep >= MAXSTEP) return 0;
  double best = 0, bx[MAXV] = {0};
  int tries = 1 + (int)(rnd() * 3);
  for (int k = 0; k < tries; k++) {
    shuffle(z, order, (int)(rnd() * 4));
    double L = compose(z, order, nv, most * scale * (1 - 1e-9), x), fall = 0;
    for (int i = 0; i < nv; i++) fall += x[i] * (z->c - z->v[i].ug) / V;
    (void)L;
    if (fall > best) { best = fall; memcpy(bx, x, sizeof bx); }
  }
  if (best <= 0) return 0;
  double L = 0, need = z->c - target, f = 1;
  if (best > need) f = need / best * (1 + 1e-9);
  for (int i = 0; i < nv; i++) { bx[i] *= f; L += bx[i]; }
  if (f >= 1 && L < least * V) return 0;
  step *s = &z->st[z->nstep++];
  s->at = z->t; s->litres = L; s->c0 = z->c; s->nfrom = 0;
  z->heldT[z->nheld] = z->sT; z->heldS[z->nheld] = z->sS; z->until[z->nheld++] = z->t;
  double min = 0, c = z->c, t = z->sT, sal = z->sS;
  for (int i = 0; i < nv; i++) if (bx[i] > 0) {
    double vt = temp(&z->v[i], &vs[i], z->t);
    min += minutes(i, bx[i]);
    c -= bx[i] * (z->c - z->v[i].ug) / V; t += bx[i] * (vt - z->sT) / V; sal += bx[i] * (z->v[i].s - z->sS) / V;
    z->v[i].t = vt; z->v[i].base = z->t; z->v[i].vol -= bx[i];
    s->from[s->nfrom] = i; s->x[s->nfrom++] = bx[i];
  }
  double end = z->t + 2 * min / 60;
  for (int i = 0; i < nv; i++) if (bx[i] > 0) z->v[i].busy = fmax(z->v[i].busy, end);
  z->c = c; z->sT = reheats ? T0 : t; z->sS = sal; s->c1 = c;
  z->next = fmax(z->t + every, end);
  z->water += L;
  if (c <= target * (1 + 1e-9)) z->finish = end;
  return 1;
}

/* a batch of x litres in vat i, as much as there is for it */
static int batch(state *z, int i, double x) {
  vat *v = &z->v[i];
  if (!vs[i].mixes || v->ready > z->t || v->busy > z->t) return 0;
  x = fmin(x, (vs[i].cap - v->vol) * FULL);
  if (kgPerL <= 0) return 0;
  x = fmin(x, z->salt * FULL / kgPerL);
  x = fmin(x, z->pure * FULL / purePerL);
  if (x < 1e-3 * V) return 0;
  double old = v->vol, vt = temp(v, &vs[i], z->t);
  v->t = (vt * old + z->pureT * x) / (old + x);
  v->s = (v->s * old + S0 * x) / (old + x);
  v->ug = (v->ug * old + newUg * x) / (old + x);
  v->vol = old + x; v->base = z->t; v->ready = z->t + mixH;
  z->pure -= x * purePerL; z->salt -= x * kgPerL;
  return 1;
}

/* cut a vat that is too salty with purified water */
static int cut(state *z, int i) {
  vat *v = &z->v[i];
  if (v->ready > z->t || v->busy > z->t || v->s < S0 + 0.1 || v->vol < 1) return 0;
  double share = (v->s - S0) / v->s; /* of the finished volume */
  double keep = v->vol, add = keep * share / (1 - share);
  if (keep + add > vs[i].cap) { keep = vs[i].cap * (1 - share) * FULL; add = keep * share / (1 - share); }
  if (add > z->pure * FULL) { keep *= z->pure * FULL / add; return 0; }
  double vt = temp(v, &vs[i], z->t);
  v->t = (vt * keep + z->pureT * add) / (keep + add);
  v->ug = v->ug * keep / (keep + add);
  v->vol = keep + add; v->s = S0; v->base = z->t; v->ready = z->t + cutH;
  z->pure -= add;
  return 1;
}

/* lift a vat that is too fresh with salt */
static int lift(state *z, int i) {
  vat *v = &z->v[i];
  if (v->ready > z->t || v->busy > z->t || v->s > S0 - 0.1 || v->vol < 1 || kgPerL <= 0 || S0 <= 0) return 0;
  double kg = v->vol * kgPerL * (S0 - v->s) / S0 * 1.01;
  if (kg > z->salt * FULL || v->vol * 1.02 > vs[i].cap) return 0;
  v->t = temp(v, &vs[i], z->t); v->base = z->t; v->s = S0; v->ready = z->t + mixH; v->ug += newUg * 0.1;
  z->salt -= kg;
  return 1;
}

static void start(state *z) {
  memset(z, 0, sizeof *z);
  z->c = C0; z->sT = T0; z->sS = S0; z->pure = pure0; z->pureT = pureC; z->salt = salt0; z->next = lead; z->finish = INFINITY;
  for (int i = 0; i < nv; i++) {
    z->v[i].vol = vs[i].vol; z->v[i].s = vs[i].s; z->v[i].t = vs[i].t; z->v[i].ug = vs[i].ug;
  }
}

static void play(state *z) {
  double eager = rnd(), batchy = rnd() < .3 ? 1 : rnd(), cutty = rnd(), patience = rnd(), wide = rnd(), empt = rnd() < .15 ? rnd() : 0;
  start(z);
  for (int i = 0; i < nv; i++) if (rnd() < empt && vs[i].mixes) { z->v[i].vol = fmin(z->v[i].vol, vs[i].heel); }
  for (int guard = 0; guard < 4000 && z->t < horizon; guard++) {
    if (z->t >= z->next - 1e-9 && rnd() < .35 + .65 * eager) if (change(z, rnd() < .85 ? 1 : .2 + .8 * rnd())) if (isfinite(z->finish)) return;
    for (int i = 0; i < nv; i++) {
      if (rnd() < cutty) cut(z, i);
      if (rnd() < cutty * .5) lift(z, i);
      int low = z->v[i].vol <= vs[i].heel + .02 * V;
      if (vs[i].mixes && rnd() < batchy * (low ? 1 : .15)) {
        double x = rnd() < .3 ? 1e9 : rnd() < .5 ? most + vs[i].heel : (rnd() < .5 ? V : most) * rnd() * 1.5;
        if (rnd() < wide || z->pure >= fmin(x, vs[i].cap) * purePerL) batch(z, i, x);
      }
    }
    if (z->t >= z->next - 1e-9 && rnd() < .5 * eager) if (change(z, 1)) if (isfinite(z->finish)) return;
    double to = z->t + (patience < .5 ? .25 + 3 * rnd() : .1 + rnd() * every); /* a while */
    if (z->next > z->t + 1e-9) to = fmin(to, z->next);
    for (int i = 0; i < nv; i++) {
      if (z->v[i].ready > z->t + 1e-9) to = fmin(to, z->v[i].ready + 1e-9);
      if (z->v[i].busy > z->t + 1e-9) to = fmin(to, z->v[i].busy + 1e-9);
    }
    if (z->came < nd) to = fmin(to, fmax(ds[z->came].at, z->t + 1e-6));
    pass(z, to);
  }
}

int main(void) {
  int rollouts; double seed;
  if (scanf("%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%d%lf%lf%lf%lf%d%lf", &V, &most, &every, &lead, &least, &S0, &T0, &dTs, &dTd, &Tl, &Th, &dSs, &dSd, &Sl, &Sh, &reheats, &C0, &target, &within, &horizon, &rollouts, &seed) != 22) return 2;
  if (scanf("%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf", &reserve, &mixH, &cutH, &salt0, &kgPerL, &pure0, &pureC, &pureRoom, &rate, &feedC, &purePerL, &newUg) != 12) return 2;
  if (scanf("%d", &nv) != 1 || nv > MAXV) return 2;
  for (int i = 0; i < nv; i++)
    if (scanf("%lf%lf%lf%lf%lf%lf%lf%lf%lf%lf%d", &vs[i].vol, &vs[i].cap, &vs[i].heel, &vs[i].s, &vs[i].t, &vs[i].heater, &vs[i].loss, &vs[i].room, &vs[i].pump, &vs[i].ug, &vs[i].mixes) != 11) return 2;
  if (scanf("%d", &nd) != 1 || nd > MAXD) return 2;
  for (int i = 0; i < nd; i++) if (scanf("%lf%d%lf", &ds[i].at, &ds[i].kind, &ds[i].amount) != 3) return 2;
  rs = (uint64_t)seed * 2654435761u + 88172645463325252ull;
  for (int i = 0; i < 20; i++) rnd();
  static state z, best;
  int have = 0;
  for (int r = 0; r < rollouts; r++) {
    play(&z);
    int late = !(z.finish <= within * (1 - 1e-6)), bl = have ? !(best.finish <= within * (1 - 1e-6)) : 1;
    if (!isfinite(z.finish)) continue;
    if (!have || late < bl || (late == bl && z.exposure < best.exposure)) { best = z; have = 1; }
  }
  if (!have) { printf("none\n"); return 0; }
  printf("%d %.9g %.9g %.9g\n", !(best.finish <= within * (1 - 1e-6)), best.exposure, best.finish, best.water);
  for (int k = 0; k < best.nstep; k++) {
    step *s = &best.st[k];
    printf("at %.3f h: %.2f L, %.5g -> %.5g, from", s->at, s->litres, s->c0, s->c1);
    for (int i = 0; i < s->nfrom; i++) printf(" v%d:%.2f", s->from[i], s->x[i]);
    printf("\n");
  }
  return 0;
}
