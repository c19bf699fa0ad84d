/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <string.h>

#include "bl-document.h"
#include "bl-wiring.h"

/* Equipments with field checks of every kind. Their values are invented. */

typedef struct
{
  BlBoard *board;
  BlEquipment *equipment;
  BlWiring *wiring;
} Joined;

/* The check with this id; NULL: it is no field check. */
static inline const BlWireCheck *
wiring_check (const BlWiring *wiring, const char *id)
{
  for (guint i = 0; i < wiring->checks->len; i++)
    if (g_str_equal (((BlWireCheck *) bl_at (wiring->checks, i))->id, id))
      return bl_at (wiring->checks, i);
  return NULL;
}

/* Quotation marks as apostrophes. */
static inline char *
wiring_quoted (const char *text)
{
  return g_strdelimit (g_strdup (text), "'", '"');
}

static inline char *
wiring_board (const char *path, gsize *length, gpointer data, GError **error)
{
  static const char feeder[]
      = "{'format': 'benchlore-board', 'version': 1, 'sections': [{'id': 'supply', 'kind': 'supply'},"
        " {'id': 'relay', 'kind': 'relay'}, {'id': 'link', 'kind': 'communication'}],"
        " 'states': [{'id': 'off', 'live': false}, {'id': 'run', 'live': true, 'volts': 325}],"
        " 'stages': [{'id': 'mains', 'section': 'supply'}, {'id': 'k1', 'section': 'relay', 'feeds': {'from': ['mains']}},"
        " {'id': 'out', 'section': 'link'}],"
        " 'components': [{'id': 'K1', 'kind': 'relay', 'stage': 'k1', 'modes': [{'mode': 'contact open', 'weight': 1}]}],"
        " 'test_points': [{'id': 'X1', 'title': 'L in'}, {'id': 'X2', 'title': 'N to the roof box'},"
        " {'id': 'X3', 'title': 'L to the roof box'}, {'id': 'X4', 'title': 'S'}], 'measurements': ["
        " {'id': 'TICK', 'title': 'K1 clicks', 'measures': 'check', 'state': 'run', 'reads': 'k1'},"
        " {'id': 'LAMP', 'measures': 'check', 'state': 'run', 'reads': 'mains'}]}";
  static const char fed[]
      = "{'format': 'benchlore-board', 'version': 1, 'sections': [{'id': 'supply', 'kind': 'supply'},"
        " {'id': 'link', 'kind': 'communication'}],"
        " 'states': [{'id': 'off', 'live': false}, {'id': 'run', 'live': true, 'volts': 325}],"
        " 'ports': [{'id': 'L'}, {'id': 'N'}, {'id': 'S'}],"
        " 'stages': [{'id': 'in', 'section': 'supply', 'feeds': {'from': ['port:L', 'port:N']}},"
        " {'id': 'rx', 'section': 'link', 'feeds': {'from': ['port:S']}}, {'id': 'tx', 'section': 'link'}],"
        " 'components': [{'id': 'U1', 'kind': 'ic', 'stage': 'rx', 'modes': [{'mode': 'dead', 'weight': 1}]}],"
        " 'test_points': [{'id': 'T1', 'title': 'L'}, {'id': 'T2', 'title': 'N'}, {'id': 'T3', 'title': 'S'}],"
        " 'measurements': []}";
  char *text = wiring_quoted (g_str_equal (path, "feeder.json") ? feeder : fed);

  *length = strlen (text);
  return text;
}

/* One supplies the other by two conductors, the third carries the signal; swapped: the other way round. */
static const char wiring_pair[]
    = "{'format': 'benchlore-equipment', 'version': 1, 'title': 'Pair',"
      " 'boards': [{'role': 'roof', 'board': 'fed.json'}, {'role': 'wall', 'board': 'feeder.json'}],"
      " 'conductors': [{'id': 'W3', 'title': 'signal S', 'from': 'wall/out', 'to': 'roof/S', 'modes': [{'mode': 'open',"
      " 'weight': 1, 'effects': [{'is': 'absent'}, {'on': 'R-S', 'is': 'open'}, {'on': 'SWAP', 'is': 'deviates'}]}]},"
      " {'id': 'W1', 'title': 'L, switched', 'from': 'wall/k1', 'to': 'roof/L', 'modes': [{'mode': 'open', 'weight': 1,"
      " 'effects': [{'is': 'absent'}, {'on': 'BEEP-L', 'is': 'deviates'}]}]},"
      " {'id': 'W2', 'title': 'N', 'from': 'wall/k1', 'to': 'roof/N', 'modes': [{'mode': 'open', 'weight': 1,"
      " 'effects': [{'is': 'absent'}]}]}],"
      " 'cables': [{'id': 'CB', 'title': 'cable', 'conductors': ['W1', 'W3'], 'modes': [{'mode': 'leak', 'weight': 1,"
      " 'effects': [{'on': 'W3', 'is': 'low'}, {'on': 'WET', 'is': 'deviates'}]}]}],"
      " 'effects': [{'of': 'wall/K1', 'mode': 'contact open', 'on': 'CLICK', 'is': 'deviates'}],"
      " 'measurements': ["
      " {'id': 'SWAP', 'title': 'link back with the other conductor', 'measures': 'check', 'state': 'run'},"
      " {'id': 'WET', 'title': 'cable looks wet', 'measures': 'check', 'state': 'off'},"
      " {'id': 'R-S', 'title': 'S end to end', 'at': 'wall/X4', 'black': 'roof/T3', 'measures': 'ohm', 'state': 'off',"
      " 'expected': {'high': 5, 'open_above': 1000}},"
      " {'id': 'BEEP-L', 'title': 'L beeps', 'measures': 'check', 'state': 'off'},"
      " {'id': 'S-N', 'title': 'S in mark', 'at': 'roof/T3', 'black': 'roof/T2', 'measures': 'V DC', 'state': 'run',"
      " 'reads': 'roof/rx', 'expected': {'low': 14, 'high': 17}},"
      " {'id': 'CLICK', 'title': 'K1 gets warm', 'measures': 'check', 'state': 'run'},"
      " {'id': 'PASS', 'title': 'mains behind the contact', 'measures': 'check', 'state': 'run', 'reads': 'wall/k1'},"
      " {'id': 'NEAR', 'title': 'mains towards the roof box', 'at': 'wall/X3', 'black': 'wall/X2', 'measures': 'V AC',"
      " 'state': 'run', 'reads': 'wall/k1', 'expected': {'low': 207, 'high': 253}},"
      " {'id': 'IN', 'title': 'mains at the wall box', 'at': 'wall/X1', 'black': 'wall/X2', 'measures': 'V AC',"
      " 'state': 'run', 'reads': 'wall/mains', 'expected': {'low': 207, 'high': 253}},"
      " {'id': 'FAR', 'title': 'mains at the roof box', 'at': 'roof/T1', 'black': 'roof/T2', 'measures': 'V AC',"
      " 'state': 'run', 'reads': 'roof/in', 'expected': {'low': 207, 'high': 253}},"
      " {'id': 'DIR', 'title': 'wall box feeds the roof box', 'measures': 'check', 'state': 'off'}]}";

/* Three boxes, two of which are joined with each other too. */
static const char wiring_triple[]
    = "{'format': 'benchlore-equipment', 'version': 1,"
      " 'boards': [{'role': 'main', 'board': 'feeder.json'}, {'role': 'left', 'board': 'fed.json'},"
      " {'role': 'right', 'board': 'fed.json'}],"
      " 'conductors': [{'id': 'A', 'title': 'L to left', 'from': 'main/k1', 'to': 'left/L', 'modes': []},"
      " {'id': 'B', 'title': 'L to right', 'from': 'main/k1', 'to': 'right/L', 'modes': []},"
      " {'id': 'C', 'title': 'S between them', 'from': 'left/tx', 'to': 'right/S', 'modes': [{'mode': 'open',"
      " 'weight': 1, 'effects': [{'on': 'OHM', 'is': 'open'}]}]}],"
      " 'measurements': [{'id': 'OHM', 'at': 'left/T3', 'black': 'right/T3', 'measures': 'ohm', 'state': 'off',"
      " 'expected': {'high': 5, 'open_above': 1000}}]}";

static inline Joined
wiring_join (const char *document)
{
  g_autofree char *text = wiring_quoted (document);
  g_autoptr (GError) error = NULL;
  Joined joined = { NULL, NULL, NULL };

  joined.board = bl_equipment_parse (text, -1, wiring_board, NULL, NULL, &error);
  g_assert_no_error (error);
  joined.equipment = bl_equipment_read (text, -1, NULL, &error);
  g_assert_no_error (error);
  joined.wiring = bl_wiring_new (joined.board, joined.equipment);
  return joined;
}

static inline void
wiring_leave (Joined *joined)
{
  bl_wiring_free (joined->wiring);
  bl_equipment_free (joined->equipment);
  bl_board_free (joined->board);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Joined, wiring_leave)
