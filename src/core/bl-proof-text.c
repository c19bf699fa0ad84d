/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The figures in what was typed for a proof of dead. It says what was read, never whether anything is dead. */
#include "config.h"

#include "bl-proof-text.h"

#include "bl-quantity.h"

#include <math.h>
#include <string.h>

/* "V", "VAC", "volts", what may stand behind a figure; ac: it says that it is alternating. */
static gboolean
is_unit (const char *word, gboolean *ac)
{
  static const char *const dc_words[] = { "V", "VDC", "DC", "volt", "volts" };
  static const char *const ac_words[] = { "VAC", "AC", "V~", "~" };

  for (guint i = 0; i < G_N_ELEMENTS (ac_words); i++)
    if (g_ascii_strcasecmp (word, ac_words[i]) == 0)
      return *ac = TRUE;
  for (guint i = 0; i < G_N_ELEMENTS (dc_words); i++)
    if (g_ascii_strcasecmp (word, dc_words[i]) == 0)
      return TRUE;
  return FALSE;
}

typedef struct
{
  double value;
  gboolean ac;
} Figure;

/* The figures in V of what was typed, in order; words between them do not matter. */
static GArray *
figures_in (const char *text)
{
  g_auto (GStrv) words = g_strsplit_set (text != NULL ? text : "", " ;/\t", -1);
  GArray *figures = g_array_new (FALSE, FALSE, sizeof (Figure));
  gboolean behind = FALSE; /* a figure: what follows may be its unit */

  for (guint i = 0; words[i] != NULL; i++)
    {
      gsize length = strlen (words[i]);
      Figure figure = { NAN, FALSE };
      if (length > 0 && words[i][length - 1] == ',')
        words[i][length - 1] = '\0';
      if (bl_quantity_parse (words[i], "V", &figure.value, NULL))
        {
          g_array_append_val (figures, figure);
          behind = TRUE;
        }
      else if (*words[i] != '\0')
        behind = behind && is_unit (words[i], &g_array_index (figures, Figure, figures->len - 1).ac);
    }
  return figures;
}

BlProofText
bl_proof_read (const char *text)
{
  g_autoptr (GArray) figures = figures_in (text);
  BlProofText proof = { figures->len, NAN, NAN };

  /* Between the first and the last, which are the source. */
  for (guint i = 1; i + 1 < figures->len; i++)
    {
      const Figure *figure = &g_array_index (figures, Figure, i);
      double *most = figure->ac ? &proof.ac : &proof.dc;
      *most = fmax (*most, fabs (figure->value));
    }
  return proof;
}
