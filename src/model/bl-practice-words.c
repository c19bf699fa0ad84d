/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Topics of practice: the kind of section that a fault lies in, the family it is of, and both in words. */
#include "config.h"

#include "bl-practice-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

typedef struct
{
  const char *name, *words;
} Word;

static const Word sections[] = {
  { "supply", N_ ("supply") },         { "relay", N_ ("relay") },   { "communication", N_ ("communication") },
  { "controller", N_ ("controller") }, { "sensor", N_ ("sensor") }, { "indicator", N_ ("indicator") },
  { "drive", N_ ("drive") },
};

static char *
words_of (const Word *words, guint n, const char *name)
{
  for (guint i = 0; i < n; i++)
    if (g_strcmp0 (words[i].name, name) == 0)
      return g_strdup (_ (words[i].words));
  return g_strdup (name);
}

char *
bl_section_kind_words (const char *kind)
{
  g_return_val_if_fail (kind != NULL, NULL);
  return words_of (sections, G_N_ELEMENTS (sections), kind);
}

char *
bl_topic_words (BlTopicKind kind, const char *topic)
{
  g_return_val_if_fail (topic != NULL, NULL);
  g_autofree char *words = kind == BL_TOPIC_FAMILY ? bl_family_words (topic) : bl_section_kind_words (topic);

  switch (kind)
    {
    case BL_TOPIC_WAY:
      /* Translators: a kind of section, such as "relay". */
      return g_strdup_printf (_ ("Find your way: %s"), words);
    case BL_TOPIC_READS:
      return g_strdup_printf (_ ("What should it read: %s"), words);
    case BL_TOPIC_SECTION:
    case BL_TOPIC_FAMILY:
    case BL_N_TOPIC_KINDS:
    default:
      /* Translators: a kind of section or of fault, such as "relay" or "open circuit". */
      return g_strdup_printf (_ ("Fault drill: %s"), words);
    }
}

/* --- of a fault --- */

static const char *
section_of_stage (const BlBoard *board, const char *id)
{
  const BlStage *stage = id != NULL ? bl_board_stage (board, id) : NULL;
  const BlSection *section = stage != NULL && stage->section != NULL ? bl_board_section (board, stage->section) : NULL;

  return section != NULL ? section->kind : NULL;
}

/* The component, and in *mode the rest of "COMPONENT:MODE"; the name of a part in an equipment has no colon either. */
static const BlComponent *
split_fault (const BlBoard *board, const char *fault, const char **mode)
{
  const char *colon = strchr (fault, ':');
  g_autofree char *id = colon != NULL ? g_strndup (fault, (gsize) (colon - fault)) : NULL;

  *mode = colon != NULL ? colon + 1 : NULL;
  return id != NULL ? bl_board_component (board, id) : NULL;
}

const char *
bl_practice_section_of (const BlBoard *board, const char *fault)
{
  const char *name, *kind;
  const BlComponent *component = split_fault (board, fault, &name);

  if (component == NULL)
    return NULL;
  kind = section_of_stage (board, component->stage);
  const BlMode *mode = bl_component_mode (component, name);
  for (guint i = 0; kind == NULL && mode != NULL && i < bl_len (mode->effects); i++)
    kind = section_of_stage (board, ((const BlEffect *) bl_at (mode->effects, i))->on);
  return kind;
}

/* Families of faults by the words of a mode's name; the first row that fits. Own choice: what is told apart by measuring,
 * not by what broke. */
static const struct
{
  const char *name, *words, *in_mode[10];
} families[] = {
  { "leaky", N_ ("leaking"), { "leak", "moisture", "draws", NULL } },
  { "stuck", N_ ("stuck"), { "stuck", "welded", "sticking", "failed on", "holds", NULL } },
  { "short", N_ ("short circuit"), { "short", NULL } },
  { "poor contact", N_ ("poor contact"), { "film", "poor", "loose", "corroded", "bad", "burnt", "ohm", "warm", NULL } },
  { "open", N_ ("open circuit"), { "open", "close", "cracked", "broken", "make", NULL } },
  { "drift", N_ ("drifted or aged"), { "drift", "aged", "low", "lost", "wear", "dim", "dry", "ESR", "high", NULL } },
};
#define NO_FAMILY "no function"

char *
bl_family_words (const char *family)
{
  g_return_val_if_fail (family != NULL, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (families); i++)
    if (g_str_equal (families[i].name, family))
      return g_strdup (_ (families[i].words));
  return g_strdup (g_str_equal (family, NO_FAMILY) ? _ ("no function") : family);
}

char *
bl_practice_family_of (const BlBoard *board, const char *fault)
{
  const char *mode;

  if (split_fault (board, fault, &mode) == NULL)
    return NULL;
  for (guint i = 0; i < G_N_ELEMENTS (families); i++)
    for (guint k = 0; families[i].in_mode[k] != NULL; k++)
      if (strstr (mode, families[i].in_mode[k]) != NULL)
        return g_strdup (families[i].name);
  return g_strdup (NO_FAMILY);
}

gboolean
bl_practice_may_burn (const BlBoard *board, const char *fault)
{
  g_return_val_if_fail (board != NULL && fault != NULL, FALSE);
  g_autofree char *family = bl_practice_family_of (board, fault);

  return g_strcmp0 (family, "short") == 0 && g_strcmp0 (bl_practice_section_of (board, fault), "supply") == 0;
}
