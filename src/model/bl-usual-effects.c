/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The few effects that hold for a kind of part whatever board it stands on. A kind has those of the kinds it
 * belongs to: "fuse.ceramic" those of "fuse". */
#include "config.h"

#include "bl-usual-effects.h"

#include <string.h>

static const struct
{
  const char *kind, *mode, *is;
} usual[] = {
  /* In series with what its stage gives. */
  { "fuse", "open", "absent" },
  { "resistor.fusible", "open", "absent" },
  { "thermistor.inrush", "open", "absent" },
  { "choke", "open", "absent" },
  { "coil", "open", "absent" },
  { "transformer", "open", "absent" },
  { "connector", "open", "absent" },
  { "connector", "poor contact", "unsteady" },
  { "terminal", "open", "absent" },
  { "track", "open", "absent" },
  { "wiring", "open", "absent" },
  /* Across what its stage gives. */
  { "capacitor.ceramic", "short", "absent" },
  { "capacitor.electrolytic", "short", "absent" },
  { "capacitor.tantalum", "short", "absent" },
  /* It is its stage. */
  { "ic.regulator", "no output", "absent" },
  { "module.supply", "no output", "absent" },
  { "crystal", "open", "absent" },
  { "crystal", "no oscillation", "absent" },
  { "lamp", "dark", "absent" },
};

static gboolean
belongs (const char *kind, const char *to)
{
  gsize length = strlen (to);

  return strncmp (kind, to, length) == 0 && (kind[length] == '\0' || kind[length] == '.');
}

const char *
bl_usual_effect (const char *kind, const char *mode)
{
  g_return_val_if_fail (mode != NULL, NULL);
  for (guint i = 0; kind != NULL && i < G_N_ELEMENTS (usual); i++)
    if (belongs (kind, usual[i].kind) && strcmp (mode, usual[i].mode) == 0)
      return usual[i].is;
  return NULL;
}
