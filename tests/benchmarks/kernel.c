/* The liquidus of one-anion melts in C, melt by melt: the yardstick of tests/benchmarks/kernel.py, no part of the package.

   The same mathematics as thermo/laws (mixing, corner_terms, solids, solid_solution) and the same steps and ends as
   thermo/equilibrium/system/driving_force, a last step of 1e-4 K for every solid. Limits: up to 6 salts, no AlF3 terms. */
#include <math.h>
#include <string.h>

#define MOST 6
#define R 8.31446261815324
#define LOWEST 250.0
#define HIGHEST 2600.0
#define STEP_T 1e-4
#define STEP_Y 5e-3
#define MISSED 1.0
#define SETTLED 1e-9
#define STEADIEST 0.99

typedef struct {                   /* filled by kernel.py, field by field */
    int n, pairs, orders, plains, corners, solids, pieces_most;
    const int *pair_i, *pair_j, *side_i, *side_j;      /* sides: bit masks of the salts of s_i and s_j */
    const double *a, *b;                               /* (orders, pairs) */
    const int *plain; const double *plain_size;        /* (plains, 3), (plains) */
    const int *corner; const double *corner_size;      /* (corners, 3), (corners, 3) */
    const double *melting;
    const int *pieces; const double *breaks, *c;       /* (n), (n, most), (n, most, 6) */
    const int *kind, *members, *member;                /* solids: 0 fixed, 1 solution; count; (solids, 6) */
    const double *weight, *dH, *dS;                    /* fixed: shares (solids, 6), per mole of salts */
    const double *W, *E;                               /* solutions: (solids, 2, 2, 6, 6), (solids, 6) */
    const int *grid_at, *grid_count; const double *grid, *parts; /* y (., 6) and rows of D (., 8) */
} System;

typedef struct { double A[MOST], S[MOST]; } Melt;     /* mu = A + T S */

static double smallest(double v) { return v > 1e-14 ? v : 1e-14; }

static void potentials(const System *s, const double *x, Melt *m) {
    int n = s->n;
    double A[MOST] = {0}, B[MOST] = {0}, rest_A = 0, rest_B = 0;
    for (int p = 0; p < s->pairs; p++) {
        int i = s->pair_i[p], j = s->pair_j[p];
        double xi = smallest(x[i]), xj = smallest(x[j]), si = 0, sj = 0;
        for (int k = 0; k < n; k++) {
            if (s->side_i[p] >> k & 1) si += x[k];
            if (s->side_j[p] >> k & 1) sj += x[k];
        }
        si = smallest(si), sj = smallest(sj);
        double u = (si - sj) / (si + sj), pa = 0, da = 0, pb = 0, db = 0;
        for (int k = s->orders - 1; k >= 0; k--) {
            da = da * u + pa, pa = pa * u + s->a[k * s->pairs + p];
            db = db * u + pb, pb = pb * u + s->b[k * s->pairs + p];
        }
        double shape = 2 * xi * xj / ((si + sj) * (si + sj));
        rest_A -= pa * xi * xj, rest_B -= pb * xi * xj;
        A[i] += pa * xj, A[j] += pa * xi, B[i] += pb * xj, B[j] += pb * xi;
        for (int k = 0; k < n; k++) {
            if (s->side_i[p] >> k & 1) A[k] += da * shape * sj, B[k] += db * shape * sj;
            if (s->side_j[p] >> k & 1) A[k] -= da * shape * si, B[k] -= db * shape * si;
        }
    }
    for (int t = 0; t < s->plains; t++) {
        const int *at = s->plain + 3 * t;
        double w = s->plain_size[t], i = x[at[0]], j = x[at[1]], k = x[at[2]];
        rest_A -= 2 * w * i * j * k;
        A[at[0]] += w * j * k, A[at[1]] += w * i * k, A[at[2]] += w * i * j;
    }
    for (int t = 0; t < s->corners; t++) {
        const int *at = s->corner + 3 * t;
        const double *w = s->corner_size + 3 * t;
        double i = x[at[0]], j = x[at[1]], k = x[at[2]], all = i * j * k, sum = w[0] * i + w[1] * j + w[2] * k;
        rest_A -= 3 * all * sum;
        A[at[0]] += j * k * sum + all * w[0], A[at[1]] += i * k * sum + all * w[1], A[at[2]] += i * j * sum + all * w[2];
    }
    for (int k = 0; k < n; k++) {
        m->A[k] = A[k] + rest_A;
        m->S[k] = R * log(x[k] > 1e-30 ? x[k] : 1e-30) + B[k] + rest_B;
    }
}

static void fusion(const System *s, int salt, double T, double lnT, double *energy, double *slope) {
    const double *breaks = s->breaks + salt * s->pieces_most;
    int piece = 0;
    while (piece < s->pieces[salt] - 1 && T >= breaks[piece]) piece++;
    const double *c = s->c + (salt * s->pieces_most + piece) * 6;
    double per = c[5] / T;
    *energy = c[0] + T * (c[1] + c[2] * lnT + T * (c[3] + c[4] * T)) + per;
    *slope = c[1] + c[2] * (1 + lnT) + T * (2 * c[3] + 3 * c[4] * T) - per / T;
}

static void excess(const System *s, int solid, const double *y, double T, double *mu, double *B_own) {
    /* A + T B at T in mu (members); in B_own, if wanted, sum y B */
    int m = s->members[solid];
    const double *W = s->W + solid * 4 * MOST * MOST;
    double a[MOST], b[MOST], sum_a = 0, sum_b = 0;
    for (int i = 0; i < m; i++) {
        double la = 0, lb = 0, va = 0, vb = 0, qa = 0, qb = 0;
        for (int j = 0; j < m; j++) {
            double w = W[i * MOST + j], v = W[(2 * MOST + i) * MOST + j], yy = y[j] * y[j];
            la += w * y[j], va += v * y[j], qa += v * yy;
            w = W[(MOST + i) * MOST + j], v = W[(3 * MOST + i) * MOST + j];
            lb += w * y[j], vb += v * y[j], qb += v * yy;
        }
        a[i] = la + 2 * y[i] * va - qa, b[i] = lb + 2 * y[i] * vb - qb;
        sum_a += 0.5 * y[i] * la + 2 * y[i] * y[i] * va, sum_b += 0.5 * y[i] * lb + 2 * y[i] * y[i] * vb;
    }
    double own = 0;
    for (int i = 0; i < m; i++) {
        mu[i] = a[i] - sum_a + T * (b[i] - sum_b) + s->E[solid * MOST + i];
        own += y[i] * (b[i] - sum_b);
    }
    if (B_own) *B_own = own;
}

static void fixed_point(const System *s, int solid, const double *from, double *to, const double *d, double T) {
    int m = s->members[solid];
    double mu[MOST], top = -INFINITY, sum = 0;
    excess(s, solid, from, T, mu, 0);
    for (int i = 0; i < m; i++) { to[i] = (d[i] - mu[i]) / (R * T); if (to[i] > top) top = to[i]; }
    for (int i = 0; i < m; i++) { double z = to[i] - top; to[i] = exp(z > -50 ? z : -50); sum += to[i]; }
    for (int i = 0; i < m; i++) to[i] /= sum;
}

static double formed(const System *s, int solid, const double *y, const double *d, double T) {
    double mu[MOST], D = 0;
    excess(s, solid, y, T, mu, 0);
    for (int i = 0; i < s->members[solid]; i++) D += y[i] * (d[i] - mu[i] - R * T * log(y[i]));
    return D;
}

static void refine(const System *s, int solid, double *y, const double *d, double T, int rounds, int hasten) {
    int m = s->members[solid];
    for (int r = 0; r < rounds; r++) {
        double one[MOST], two[MOST], f[MOST], g[MOST], fg = 0, ff = 0, most = 0, sum = 0;
        fixed_point(s, solid, y, one, d, T);
        if (!hasten) { memcpy(y, one, sizeof one); continue; }
        fixed_point(s, solid, one, two, d, T);
        for (int i = 0; i < m; i++) {
            f[i] = log(one[i] / y[i]), g[i] = log(two[i] / one[i]);
            fg += f[i] * g[i], ff += f[i] * f[i];
            if (fabs(g[i]) > most) most = fabs(g[i]);
        }
        if (most < SETTLED) { memcpy(y, two, sizeof two); return; }
        double ratio = fg / (ff > 1e-30 ? ff : 1e-30), ahead = 0;
        if (ratio > 0 && ratio < STEADIEST) ahead = ratio / (1 - ratio);
        for (int i = 0; i < m; i++) {
            double step = g[i] * ahead;
            y[i] = two[i] * exp(step > 1 ? 1 : step < -1 ? -1 : step), sum += y[i];
        }
        for (int i = 0; i < m; i++) y[i] /= sum;
        if (formed(s, solid, y, d, T) < formed(s, solid, two, d, T)) memcpy(y, two, sizeof two);
    }
}

/* D and dD/dT of one solid at T; y: in, where to look (y[0] < 0: everywhere), and out */
static double force(const System *s, const Melt *melt, int solid, double T, double *y, int rounds, double *slope) {
    int m = s->members[solid];
    const int *member = s->member + solid * MOST;
    double d[MOST], dd[MOST], lnT = log(T);
    for (int i = 0; i < m; i++) {
        int k = member[i];
        fusion(s, k, T, lnT, d + i, dd + i);
        d[i] += melt->A[k] + T * melt->S[k], dd[i] += melt->S[k];
    }
    double D = 0;
    *slope = 0;
    if (!s->kind[solid]) {
        for (int i = 0; i < m; i++) D += s->weight[solid * MOST + i] * d[i], *slope += s->weight[solid * MOST + i] * dd[i];
        *slope += s->dS[solid];
        return D - (s->dH[solid] - T * s->dS[solid]);
    }
    if (y[0] < 0) {
        double best = -INFINITY;
        int at = s->grid_at[solid];
        for (int g = s->grid_at[solid]; g < s->grid_at[solid] + s->grid_count[solid]; g++) {
            const double *part = s->parts + g * 8;
            double here = part[6] * T + part[7];
            for (int i = 0; i < m; i++) here += part[i] * d[i];
            if (here > best) best = here, at = g;
        }
        memcpy(y, s->grid + at * MOST, MOST * sizeof *y);
        refine(s, solid, y, d, T, rounds, 0);
    }
    refine(s, solid, y, d, T, rounds, 1);
    double mu[MOST], B, entropy = 0;
    excess(s, solid, y, T, mu, &B);
    for (int i = 0; i < m; i++) {
        D += y[i] * (d[i] - mu[i]), *slope += y[i] * dd[i], entropy -= R * y[i] * log(y[i]);
    }
    *slope += entropy - B;
    return D + T * entropy;
}

static double converge(const System *s, const Melt *melt, int solid, double T, double floor, double *y) {
    double low = floor, high = HIGHEST, slope;
    int formed = 0, fresh = y[0] < 0;
    for (int step = 0; step < 80; step++) {
        double before[MOST], moved;
        memcpy(before, y, sizeof before);
        double D = force(s, melt, solid, T, y, 2, &slope);
        if (D > 0) low = T, formed = 1; else high = T;
        moved = T - D / (slope < -1 ? slope : -1);
        if (moved < low) moved = formed ? 0.5 * (low + high) : floor;
        if (moved > high) moved = high == HIGHEST ? HIGHEST : 0.5 * (low + high);
        moved = moved < low ? low : moved > high ? high : moved;
        int unsettled = fabs(moved - T) >= STEP_T || (s->kind[solid] && fresh);
        if (s->kind[solid] && !fresh)
            for (int i = 0; i < s->members[solid]; i++) unsettled |= fabs(y[i] - before[i]) > STEP_Y;
        fresh = 0, T = moved;
        if (!unsettled) break;
    }
    return T;
}

static double root(const System *s, const Melt *melt, int solid, double T, double floor) {
    double y[MOST] = {-1}, slope;
    for (int again = 0; again < 4; again++) {
        T = converge(s, melt, solid, T, floor, y);
        if (!s->kind[solid]) break;
        double other[MOST] = {-1};
        if (force(s, melt, solid, T, other, 2, &slope) <= MISSED) break;
        memcpy(y, other, sizeof other);
    }
    return T;
}

static double one(const System *s, const double *x, int *which) {
    Melt melt;
    double guess = 0, T = LOWEST, estimate[64], slope;
    int first = 0;
    potentials(s, x, &melt);
    for (int k = 0; k < s->n; k++) guess += x[k] * s->melting[k];
    guess = guess < 600 ? 600 : guess > 1600 ? 1600 : guess;
    for (int k = 0; k < s->solids; k++) {
        double y[MOST] = {-1}, D = force(s, &melt, k, guess, y, 0, &slope);
        estimate[k] = guess + D / (-slope > 1 ? -slope : 1);
        if (estimate[k] > estimate[first]) first = k;
    }
    for (int round = 0, next = first; round <= s->solids && next >= 0; round++) {
        double start = estimate[next] < LOWEST ? LOWEST : estimate[next] > HIGHEST ? HIGHEST : estimate[next];
        first = next, next = -1;
        T = root(s, &melt, first, start > T ? start : T, T);
        for (int k = 0; k < s->solids; k++) {
            double y[MOST] = {-1}, D;
            if (k == first) continue;
            D = force(s, &melt, k, T, y, 2, &slope);
            if (D > STEP_T * (-slope > 1 ? -slope : 1)) { next = k; break; }
        }
    }
    *which = first;
    return T;
}

void field(const System *s, int count, const double *x, double *T, int *which) {
    for (int k = 0; k < count; k++) T[k] = one(s, x + k * s->n, which + k);
}
