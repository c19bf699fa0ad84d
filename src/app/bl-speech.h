/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-speaker.h"

G_BEGIN_DECLS

/* Says what happens on the bench: the measurement selected, the verdict of a reading and what comes next,
 * the hazard when the board is declared live. Silent until it is switched on. */
#define BL_TYPE_SPEECH (bl_speech_get_type ())
G_DECLARE_FINAL_TYPE (BlSpeech, bl_speech, BL, SPEECH, GObject)

BlSpeech *bl_speech_new (BlSpeaker *speaker);
/* NULL: none. */
void bl_speech_set_bench (BlSpeech *self, BlBench *bench);
void bl_speech_set_on (BlSpeech *self, gboolean on);
/* A sentence of somebody else, after what is being said. The same one twice in a row is said once, until
 * something else was. */
void bl_speech_say (BlSpeech *self, const char *sentence);

/* "4.98 volts", "47 kiloohms", "over range", numbers by the locale. (transfer full) */
char *bl_spoken_reading (BlMeasures measures, const BlReading *reading);
/* "TP5, 5 V rail" (transfer full) */
char *bl_spoken_measurement (BlMeasurementItem *item);
/* "TP5, 4.98 volts, in band" of the reading that counts; NULL: unread. (transfer full) */
char *bl_spoken_verdict (BlMeasurementItem *item);
/* "Caution: live, 325 volts. Mains on." of the state the board is in; NULL: nothing to be said of it.
 * (transfer full) */
char *bl_spoken_hazard (BlBench *bench);

G_END_DECLS
