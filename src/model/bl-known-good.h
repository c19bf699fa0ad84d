/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-edition.h"
#include "bl-library-known-good.h"

G_BEGIN_DECLS

/* What the known-good boards of an edition read, and the bands that follow. */

/* Below so many boards the dots are shown and no band is proposed: a 95/95 band of nine boards is 3.5 standard
 * deviations wide to each side, of five 5.1. Bench judgement, no source. */
#define BL_GOOD_BOARDS_LEAST 10
/* Outliers are looked for among so many boards at least (a usual advice for Grubbs' test, from memory), at this
 * level, and at most one board in five is named. */
#define BL_GOOD_OUTLIERS_FROM 7
#define BL_GOOD_OUTLIER_LEVEL 0.05
#define BL_GOOD_OUTLIERS_MOST 5

typedef enum
{
  BL_GOOD_COUNTS,   /* its value is in the statistics */
  BL_GOOD_LEFT_OUT, /* an outlier that the technician agreed to leave out */
  BL_GOOD_NO_VALUE  /* there is no single value that counts: why says so */
} BlGoodUse;

/* One board: one job. */
typedef struct
{
  gint64 job, time;
  int number;
  char *serial;         /* may be NULL */
  char *words;          /* the reading as the screen shows it, without the unit */
  BlReading reading;    /* valid unless the text cannot be read */
  double value;         /* what is compared: the corrected value, or its share of the line followed; NAN: none */
  double line;          /* of the line followed, at the other reading of this board; NAN: it follows none */
  BlGoodUse use;
  gboolean outlier;     /* found by Grubbs' test among those not yet left out or named */
  double g, critical, p; /* of that test; NAN where it is none */
  char *why;            /* of BL_GOOD_NO_VALUE */
} BlGoodBoard;

typedef struct
{
  guint n; /* boards it stands on */
  double mean, s, k;
  double exact_low, exact_high; /* mean -+ k s; -INFINITY, INFINITY where the band has no limit */
  double low, high;             /* rounded outward */
  BlBand *band;                 /* how the document would judge by it; NULL: it cannot (trouble) */
  char *trouble;                /* why the document cannot have it, NULL */
} BlGoodInterval;

typedef enum
{
  BL_GOOD_NO_NUMBER,    /* yes or no, or a swing: shown, nothing is computed */
  BL_GOOD_NO_BAND,      /* a threshold that boards say nothing about: the proof of dead */
  BL_GOOD_TOO_FEW,      /* below BL_GOOD_BOARDS_LEAST */
  BL_GOOD_ALIKE,        /* all read the same: the meter shows no spread */
  BL_GOOD_IMPOSSIBLE,   /* another limit of the document is in the way: interval.trouble */
  BL_GOOD_PROPOSED,
  BL_GOOD_REFUSED,      /* and no new board since */
  BL_GOOD_AS_DOCUMENTED /* what the document says already */
} BlGoodState;

typedef struct
{
  const char *measurement; /* id */
  BlMeasures measures;
  gboolean ratio;   /* compared as the share of the line followed: 1 is on the line */
  gboolean has_low, has_high; /* limits a band of it has */
  GPtrArray *boards; /* BlGoodBoard, by job number */
  gint64 from, to;  /* of those that count; 0: none */
  double documented_low, documented_high; /* as read (ratio: of the line); -INFINITY, INFINITY: no limit */
  BlGoodState state;
  BlGoodInterval with;    /* of all that count */
  guint n_outliers;       /* named and not left out; then also: */
  BlGoodInterval without; /* of the others */
} BlGoodProposal;

typedef struct BlKnownGood BlKnownGood;

/* Reads what there is now. coverage and confidence: shares, 0.5 to 0.9999. */
BlKnownGood *bl_known_good_new (BlEdition *edition, double coverage, double confidence, GError **error);
void bl_known_good_free (BlKnownGood *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlKnownGood, bl_known_good_free)

/* How many boards are marked and were read. */
guint bl_known_good_n_boards (BlKnownGood *self);
double bl_known_good_coverage (BlKnownGood *self);
double bl_known_good_confidence (BlKnownGood *self);
/* What is known of a measurement; NULL: no known-good board was read there. Worked out when first asked for.
 * (transfer none) */
const BlGoodProposal *bl_known_good_find (BlKnownGood *self, const char *measurement);

/* Writes the proposed band and where it comes from into the document, as one step of undo, and keeps that it was
 * accepted. without: the one without the outliers, which are left out from now on. */
gboolean bl_known_good_accept (BlKnownGood *self, const char *measurement, gboolean without, GError **error);
/* Not offered again until another board comes. */
gboolean bl_known_good_refuse (BlKnownGood *self, const char *measurement, GError **error);
/* Takes a refusal back. */
gboolean bl_known_good_offer (BlKnownGood *self, const char *measurement, GError **error);
/* After these and after a change of the document, make a new one. */
gboolean
bl_known_good_leave_out (BlKnownGood *self, const char *measurement, gint64 job, gboolean out, GError **error);

/* "14 known-good boards, 2025-09 to 2025-12, 95/95": what the document says of a band from them. (transfer full) */
char *bl_known_good_source (BlKnownGood *self, const BlGoodProposal *proposal, guint n);

G_END_DECLS
