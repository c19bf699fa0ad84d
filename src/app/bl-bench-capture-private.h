/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench-capture.h"
#include "bl-bench-page-private.h"
#include "bl-speech.h"

G_BEGIN_DECLS

struct _BlBenchCapture
{
  GObject parent_instance;

  BlBenchPage *page; /* owns this */
  BlBench *bench;
  BlMeterLink *link;
  BlCapture *core;
  BlSpeech *speech;
  BlShopMeter *meter; /* connected to; NULL: none */
  guint tick;
  gboolean on, suspended;
  BlSample last; /* the newest value */
  gboolean has_last;
  BlCaptureKind kind;
  gboolean waits; /* stands still and waits for the key */
  char *words;
  gboolean urgent, loud;
  char *asked; /* reading that is doubted: the key keeps it; NULL: none */
};

/* bl-bench-capture-ask.c */
/* The sentence below the entry; loud: danger, or a value that cannot be right. words may be NULL. (copied) */
void bl_capture_set_words (BlBenchCapture *self, const char *words, gboolean urgent, gboolean loud);
/* NULL: none is. (transfer none) */
const BlMeasurement *bl_capture_in_hand (BlBenchCapture *self);
/* The board as it is said to be, not as the measurement would have it; where the state does not say it is taken for
 * live. */
gboolean bl_capture_board_is_live (BlBenchCapture *self);
/* TRUE for ranges that send a current of their own through the leads. */
gboolean bl_capture_drives_current (BlMeterMode mode);
/* Nothing waits for the key any more. */
void bl_capture_forget (BlBenchCapture *self);
/* Tells core and meter what is measured now. */
void bl_capture_ask (BlBenchCapture *self);
/* Why the entry is not to be made by itself in the state the board is in; NULL: it may. (transfer full) */
char *bl_capture_state_doubt (BlBenchCapture *self);
/* Passes over what a meter does not tell, where there is something else to go on with. */
void bl_capture_go_on (BlBenchCapture *self);

G_END_DECLS
