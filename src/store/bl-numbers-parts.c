/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the documents say of parts that were counted, and how many of them to keep: as many as were used in a month, for
 * the months asked for, is what will be used on average; bl-poisson.c says how many are then enough. Some dozen parts an
 * edition. */
#include "config.h"

#include "bl-numbers-private.h"

#include "bl-library-equipment.h"
#include "bl-library-private.h"
#include "bl-poisson.h"

#include <math.h>
#include <string.h>

const char *
bl_numbers_place_part (BlLibrary *library, GHashTable *equipments, gint64 equipment, const char *component, gint64 *board)
{
  const char *slash = strchr (component, '/');
  GPtrArray *boards = NULL;

  *board = 0;
  if (slash == NULL)
    return component;
  if (!g_hash_table_lookup_extended (equipments, &equipment, NULL, (gpointer *) &boards))
    {
      boards = bl_library_equipment_boards (library, equipment, NULL); /* NULL: it cannot be read, names stay as they are */
      g_hash_table_insert (equipments, g_memdup2 (&equipment, sizeof equipment), boards);
    }
  for (guint i = 0; i < bl_len (boards); i++)
    {
      const BlEquipmentBoard *box = bl_at (boards, i);
      if (strlen (box->role) == (gsize) (slash - component) && g_str_has_prefix (component, box->role))
        {
          *board = box->board;
          return slash + 1;
        }
    }
  return component;
}

static int
compare_parts (gconstpointer a, gconstpointer b)
{
  const BlNumbersPart *one = *(BlNumbersPart *const *) a, *other = *(BlNumbersPart *const *) b;

  if (one->n != other->n)
    return one->n > other->n ? -1 : 1;
  int names = g_strcmp0 (one->board_name, other->board_name);
  return names != 0 ? names : g_strcmp0 (one->component, other->component);
}

void
bl_numbers_sort_parts (GPtrArray *parts)
{
  g_ptr_array_sort (parts, compare_parts);
}

/* A board that cannot be read leaves its parts without. */
void
bl_numbers_name_parts (BlLibrary *library, GPtrArray *parts)
{
  g_autoptr (GHashTable) boards =
      g_hash_table_new_full (g_int64_hash, g_int64_equal, NULL, (GDestroyNotify) bl_board_free);

  for (guint i = 0; i < parts->len; i++)
    {
      BlNumbersPart *part = bl_at (parts, i);
      if (part->board != 0 && !g_hash_table_contains (boards, &part->board))
        g_hash_table_insert (boards, &part->board, bl_library_load_board (library, part->board, NULL));
      const BlBoard *board = g_hash_table_lookup (boards, &part->board);
      if (part->board_name == NULL && board != NULL)
        part->board_name = bl_library_edition_words (board->board_number, board->model, board->edition);
      const BlComponent *component = board != NULL ? bl_board_component (board, part->component) : NULL;
      const BlStage *stage = component != NULL && component->stage != NULL ? bl_board_stage (board, component->stage)
                                                                           : NULL;
      part->value = component != NULL ? g_strdup (component->value) : NULL;
      part->stage = stage != NULL ? g_strdup (stage->title != NULL ? stage->title : stage->id) : NULL;
    }
  bl_numbers_sort_parts (parts); /* by names, too */
}

/* A rate from less than a month says nothing. */
void
bl_numbers_stock_parts (BlNumbers *numbers)
{
  for (guint i = 0; i < numbers->parts->len && numbers->months_known >= 1; i++)
    {
      BlNumbersPart *part = bl_at (numbers->parts, i);
      part->expected = part->n * numbers->ask.months / numbers->months_known;
      part->stock = bl_poisson_enough (part->expected, numbers->ask.enough);
    }
}
