/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib-object.h>

G_BEGIN_DECLS

/* What says sentences aloud. Signal "trouble": bl_speaker_get_trouble () is another than before. */
#define BL_TYPE_SPEAKER (bl_speaker_get_type ())
G_DECLARE_INTERFACE (BlSpeaker, bl_speaker, BL, SPEAKER, GObject)

struct _BlSpeakerInterface
{
  GTypeInterface parent;

  void (*say) (BlSpeaker *self, const char *sentence, gboolean interrupt);
  const char *(*get_trouble) (BlSpeaker *self);
};

/* Says it after what is being said, or (interrupt) instead. Returns at once. */
void bl_speaker_say (BlSpeaker *self, const char *sentence, gboolean interrupt);
/* Why nothing is heard; NULL: no trouble is known. (transfer none) */
const char *bl_speaker_get_trouble (BlSpeaker *self);

/* The desktop's speech service, from a thread of its own. It is reached, and started where it does not
 * run, with the first sentence; where there is none that is a trouble, and nothing else. */
#define BL_TYPE_VOICE (bl_voice_get_type ())
G_DECLARE_FINAL_TYPE (BlVoice, bl_voice, BL, VOICE, GObject)

BlSpeaker *bl_voice_new (void);

G_END_DECLS
