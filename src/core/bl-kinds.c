/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of published priors, made from data/kinds.csv at build time. Some hundred and fifty
 * lines: searched from the start. Rate and shares are looked up each for itself, since a special
 * kind may have a rate of its own and the shares of the general one. */
#include "config.h"

#include "bl-kinds.h"

#include <string.h>

typedef struct
{
  const char *kind, *mode; /* mode "": the rate of the kind */
  const char *row;         /* as the publication calls it */
  const char *source;
  double value;
} Line;

static const Line lines[] = {
#include "bl-kinds-table.inc"
};

static gboolean
is_kind (const Line *line, const char *kind, gsize length)
{
  return strncmp (line->kind, kind, length) == 0 && line->kind[length] == '\0';
}

/* Length of kind without its last part; 0 when there is no other. */
static gsize
general_length (const char *kind, gsize length)
{
  while (length > 0 && kind[length - 1] != '.')
    length--;
  return length > 0 ? length - 1 : 0;
}

/* The part of kind, from its start, for which the table has a rate or shares; 0: none. */
static gsize
known_length (const char *kind, gboolean rate)
{
  for (gsize length = kind != NULL ? strlen (kind) : 0; length > 0;
       length = general_length (kind, length))
    for (guint i = 0; i < G_N_ELEMENTS (lines); i++)
      if (is_kind (&lines[i], kind, length) && (lines[i].mode[0] == '\0') == rate)
        return length;
  return 0;
}

static const Line *
find_line (const char *kind, const char *mode)
{
  gsize length = known_length (kind, mode[0] == '\0');
  for (guint i = 0; length > 0 && i < G_N_ELEMENTS (lines); i++)
    if (is_kind (&lines[i], kind, length) && g_str_equal (lines[i].mode, mode))
      return &lines[i];
  return NULL;
}

double
bl_kind_rate (const char *kind)
{
  const Line *line = find_line (kind, "");
  return line != NULL ? line->value : BL_KIND_RATE_UNKNOWN;
}

double
bl_kind_share (const char *kind, const char *mode)
{
  if (mode == NULL || mode[0] == '\0')
    return NAN;
  const Line *line = find_line (kind, mode);
  return line != NULL ? line->value : NAN;
}

char *
bl_kind_source (const char *kind, const char *mode)
{
  const Line *line = find_line (kind, mode != NULL ? mode : "");
  if (line == NULL)
    return NULL;
  return line->row[0] != '\0' ? g_strdup_printf ("%s (%s)", line->source, line->row)
                              : g_strdup (line->source);
}

const char *const *
bl_kinds (void)
{
  /* Pointers into the table above: nothing to free. */
  static const char *names[G_N_ELEMENTS (lines) + 1];
  static gsize done;
  if (g_once_init_enter (&done))
    {
      guint n = 0;
      for (guint i = 0; i < G_N_ELEMENTS (lines); i++)
        if (n == 0 || !g_str_equal (names[n - 1], lines[i].kind))
          names[n++] = lines[i].kind;
      g_once_init_leave (&done, 1);
    }
  return names;
}

static int
by_share (gconstpointer a, gconstpointer b)
{
  double share_a = (*(const Line *const *) a)->value, share_b = (*(const Line *const *) b)->value;
  return (share_a < share_b) - (share_a > share_b);
}

const char **
bl_kind_modes (const char *kind)
{
  gsize length = known_length (kind, FALSE);
  g_autoptr (GPtrArray) found = g_ptr_array_new ();
  for (guint i = 0; length > 0 && i < G_N_ELEMENTS (lines); i++)
    if (is_kind (&lines[i], kind, length) && lines[i].mode[0] != '\0')
      g_ptr_array_add (found, (gpointer) &lines[i]);
  g_ptr_array_sort (found, by_share);
  const char **modes = g_new0 (const char *, found->len + 1);
  for (guint i = 0; i < found->len; i++)
    modes[i] = ((const Line *) g_ptr_array_index (found, i))->mode;
  return modes;
}
