/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Asks for the name of a board that a job from a photo alone was kept as: number, edition, maker, one
 * after the other in the bench's own panel. Each answer is kept at once; Esc leaves the rest for later,
 * and what is not said then stands among the checks of the editor. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page-private.h"
#include "bl-edition-parts.h"

static const struct
{
  const char *tag;
  BlSlot slot;
  const char *title, *hint;
} questions[] = {
  { "board-number", BL_SLOT_NUMBER, N_ ("Which number is printed on the board?"),
    N_ ("number; Esc: later, under Boards") },
  { "board-edition", BL_SLOT_EDITION, N_ ("Which edition mark does it carry?"), N_ ("A, rev 2 …; Esc: later") },
  { "board-maker", BL_SLOT_MAKER, N_ ("Who made it?"), N_ ("maker; Esc: later") },
};

void
bl_bench_name_ask (BlBenchPage *self)
{
  BlRef root = bl_ref (BL_ELEMENT_BOARD, NULL);

  for (guint i = 0; i < G_N_ELEMENTS (questions); i++)
    {
      g_autofree char *said = bl_slot_get (bl_bench_get_board (self->bench), &root, questions[i].slot);
      if (*said != '\0')
        continue;
      bl_bench_choices_ask (self, questions[i].tag, _ (questions[i].title), _ (questions[i].hint), NULL,
                            BL_PLACE_FOCUS);
      return;
    }
}

void
bl_bench_name_entered (BlBenchPage *self, const char *tag, const char *words)
{
  BlRef root = bl_ref (BL_ELEMENT_BOARD, NULL);
  GError *error = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (questions); i++)
    if (g_str_equal (tag, questions[i].tag)
        && bl_bench_page_check (self, bl_edition_set_slot (bl_bench_get_edition (self->bench), &root, questions[i].slot,
                                                           words, &error),
                                _ ("The board"), &error)
        && *words != '\0')
      bl_bench_name_ask (self);
}
