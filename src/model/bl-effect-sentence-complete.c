/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a sentence that is being typed may go on with. The reader says what it would have understood where it
 * stopped; names of that sort that begin as what was typed there, or have a word that does, are offered. */
#include "config.h"

#include "bl-effect-sentence-private.h"

#include "bl-format.h"
#include "bl-kinds.h"

#include <glib/gi18n-lib.h>
#include <string.h>

typedef struct
{
  const BlReader *reader;
  char *typed;      /* since the place, folded */
  gsize from;
  GPtrArray *first, *later; /* BlCompletion: begins so; has a word that does */
} Offer;

static void
completion_free (gpointer data)
{
  BlCompletion *completion = data;

  g_free (completion->text);
  g_free (completion->words);
  g_free (completion->detail);
  g_free (completion);
}

/* 2: begins so, 1: a later word does, 0: neither. */
static int
fits (const Offer *self, const char *name)
{
  g_autofree char *folded = name != NULL ? g_utf8_casefold (name, -1) : NULL;

  if (folded == NULL)
    return 0;
  if (g_str_has_prefix (folded, self->typed))
    return 2;
  for (const char *p = strchr (folded, ' '); p != NULL; p = strchr (p + 1, ' '))
    if (g_str_has_prefix (p + 1, self->typed))
      return 1;
  return 0;
}

/* text is what is written; takes detail. */
static void
add (Offer *self, int fit, char *text, const char *words, char *detail)
{
  BlCompletion *completion;

  if (fit == 0)
    {
      g_free (text);
      g_free (detail);
      return;
    }
  completion = g_new0 (BlCompletion, 1);
  completion->text = text;
  completion->words = g_strdup (words);
  completion->detail = detail;
  completion->from = self->from;
  g_ptr_array_add (fit == 2 ? self->first : self->later, completion);
}

static char *
with_blank (const char *name, gboolean quoted)
{
  g_autofree char *text = bl_sentence_quote (name, quoted);
  return g_strconcat (text, " ", NULL);
}

/* --- names --- */

static void
offer_named (Offer *self, const char *id, const char *title, char *detail, gboolean first)
{
  gboolean titled = title != NULL && *title != '\0' && g_strcmp0 (title, id) != 0;
  int fit = MAX (fits (self, id), titled ? fits (self, title) : 0);
  g_autofree char *words = titled ? g_strdup_printf ("%s · %s", title, id) : g_strdup (id);

  /* The id is short and never in doubt. */
  add (self, fit == 2 && !first && *self->typed == '\0' ? 1 : fit, with_blank (id, FALSE), words, detail);
}

static void
offer_targets (Offer *self)
{
  const BlBoard *board = self->reader->board;

  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      gboolean own = g_strcmp0 (stage->id, self->reader->component->stage) == 0;
      offer_named (self, stage->id, stage->title, g_strdup (own ? _ ("its stage") : _ ("stage")), own);
    }
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      g_autofree char *unit
        = measurement->measures < BL_N_MEASURES ? bl_format_unit (measurement->measures) : g_strdup ("");
      const char *at = measurement->at != NULL ? measurement->at : "";
      offer_named (self, measurement->id, measurement->title, g_strstrip (g_strdup_printf ("%s %s", at, unit)), FALSE);
    }
}

static void
offer_states (Offer *self)
{
  for (guint i = 0; i < bl_len (self->reader->board->states); i++)
    {
      const BlState *state = bl_at (self->reader->board->states, i);
      offer_named (self, state->id, state->title, NULL, TRUE);
    }
}

static void
offer_components (Offer *self)
{
  for (guint i = 0; i < bl_len (self->reader->board->components); i++)
    {
      const BlComponent *component = bl_at (self->reader->board->components, i);
      offer_named (self, component->id, component->title, bl_format_kind (component->kind), bl_is_fuse (component));
    }
}

static void
offer_classes (Offer *self, const char *on)
{
  g_autofree const char **classes = bl_target_classes (self->reader->board, on);
  const BlMeasurement *measurement = bl_board_measurement (self->reader->board, on);
  guint plain = 0, good;

  if (measurement != NULL && measurement->measures < BL_N_MEASURES)
    plain = g_strv_length ((char **) bl_measures_classes (measurement->measures, &good)) - 1;
  for (guint i = 0; classes[i] != NULL; i++)
    {
      gboolean mark = measurement != NULL && i >= plain;
      int fit = MAX (fits (self, classes[i]), mark ? 0 : fits (self, _ (classes[i])));
      add (self, fit, bl_sentence_quote (mark ? classes[i] : _ (classes[i]), mark), mark ? classes[i] : _ (classes[i]),
           mark ? g_strdup (_ ("mark")) : NULL);
    }
}

static void
offer_modes (Offer *self, const char *id)
{
  const BlComponent *component = bl_board_component (self->reader->board, id);

  for (guint i = 0; component != NULL && i < bl_len (component->modes); i++)
    {
      const char *name = ((BlMode *) bl_at (component->modes, i))->mode;
      add (self, fits (self, name), with_blank (name, FALSE), name, NULL);
    }
}

/* The usual modes of the kind that the component has not yet, with the handbook's share. */
static void
offer_usual (Offer *self)
{
  const BlComponent *component = self->reader->component;
  g_autofree const char **usual = bl_kind_modes (component->kind);

  for (guint i = 0; usual != NULL && usual[i] != NULL; i++)
    {
      g_autofree char *name = bl_sentence_quote (usual[i], FALSE);
      if (bl_component_mode (component, usual[i]) != NULL)
        continue;
      add (self, fits (self, usual[i]), g_strdup_printf ("%s → ", name), usual[i],
           g_strdup_printf (_ ("handbook %.0f %%"), 100 * bl_kind_share (component->kind, usual[i])));
    }
  if (*self->typed != '\0' && self->first->len + self->later->len == 0)
    add (self, 2, g_strdup_printf ("%s → ", self->reader->text), _ ("→ what it does"), NULL);
}

static void
offer_verbs (Offer *self)
{
  static const char *const verbs[] = { N_ ("may blow"), N_ ("may bring about"), N_ ("shows"), N_ ("nothing said") };

  for (guint i = 0; i < G_N_ELEMENTS (verbs); i++)
    if (*self->typed != '\0')
      add (self, fits (self, _ (verbs[i])), with_blank (_ (verbs[i]), FALSE), _ (verbs[i]), NULL);
}

static void
offer_after (Offer *self)
{
  if (*self->typed == '\0' || fits (self, C_ ("sentence", "in")) > 0)
    add (self, 2, g_strdup_printf ("%s ", C_ ("sentence", "in")), _ ("in …"), g_strdup (_ ("some states only")));
  if (*self->typed == '\0' || fits (self, C_ ("sentence", "or")) > 0)
    add (self, 2, g_strdup_printf ("%s ", C_ ("sentence", "or")), _ ("or …"), NULL);
}

/* --- all --- */

static void
offer_all (Offer *self)
{
  guint wants = self->reader->wants;

  if ((wants & BL_WANT_CLASS) != 0)
    offer_classes (self, self->reader->want_on);
  if ((wants & BL_WANT_MODE) != 0)
    offer_modes (self, self->reader->want_on);
  if ((wants & BL_WANT_STATE) != 0)
    offer_states (self);
  if ((wants & BL_WANT_COMPONENT) != 0)
    offer_components (self);
  if ((wants & BL_WANT_AFTER) != 0)
    offer_after (self);
  if ((wants & BL_WANT_CLAUSE) != 0)
    {
      offer_targets (self);
      offer_verbs (self);
    }
  if ((wants & BL_WANT_MODE_NAME) != 0)
    offer_usual (self);
}

GPtrArray *
bl_sentence_complete (const BlBoard *board, const BlComponent *component, const char *text, guint most)
{
  g_return_val_if_fail (board != NULL && component != NULL && text != NULL, NULL);
  GPtrArray *list = g_ptr_array_new_with_free_func (completion_free);
  BlReader reader = { board, component, text, text };
  Offer offer = { &reader, NULL, 0, g_ptr_array_new_with_free_func (completion_free),
                  g_ptr_array_new_with_free_func (completion_free) };

  if (g_utf8_validate (text, -1, NULL))
    {
      bl_mode_free (bl_reader_read (&reader));
      offer.from = (gsize) (reader.want_at - text);
      offer.typed = g_utf8_casefold (reader.want_at, -1);
      offer_all (&offer);
      g_free (offer.typed);
    }
  g_free (reader.trouble);
  g_ptr_array_extend_and_steal (list, offer.first);
  g_ptr_array_extend_and_steal (list, offer.later);
  if (list->len > most)
    g_ptr_array_set_size (list, (int) most);
  return list;
}
