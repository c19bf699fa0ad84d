/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Large buffers that are used again.
 *
 * Ranking measurements on a densely connected board makes some hundred circuits in turn and evaluates each in
 * buffers of some megabytes. Memory fresh from the system costs more than what is computed in it: every
 * page is mapped and cleared at its first use, and an allocator gives such large pieces back at once. That took
 * two thirds of the time. Here they are kept until the whole is done. Small ones go the usual way.
 * Some ten buffers are in use at once, so what fits best is looked for one by one. */
#include "config.h"

#include "bl-room.h"

#include <stddef.h>
#include <string.h>

#define LARGE ((gsize) 64 * 1024) /* bytes */
#define MOST_KEPT 48

/* Before every buffer, and as large as the strictest alignment asks for. */
typedef union
{
  gsize size; /* what can be used of it */
  max_align_t align;
} Head;

struct BlRoom
{
  GPtrArray *kept; /* Head */
};

BlRoom *
bl_room_new (void)
{
  BlRoom *room = g_new0 (BlRoom, 1);
  room->kept = g_ptr_array_new_with_free_func (g_free);
  return room;
}

void
bl_room_free (BlRoom *room)
{
  if (room == NULL)
    return;
  g_ptr_array_unref (room->kept);
  g_free (room);
}

void
bl_room_clear (BlRoom *room)
{
  g_ptr_array_set_size (room->kept, 0);
}

/* The smallest that is large enough, unless most of it would lie idle. */
static Head *
find_kept (BlRoom *room, gsize size)
{
  guint best = G_MAXUINT;
  gsize best_size = size * 4;
  for (guint i = 0; i < room->kept->len; i++)
    {
      gsize has = ((Head *) g_ptr_array_index (room->kept, i))->size;
      if (has < size || has > best_size)
        continue;
      best = i;
      best_size = has;
    }
  return best != G_MAXUINT ? g_ptr_array_steal_index_fast (room->kept, best) : NULL;
}

gpointer
bl_room_take (BlRoom *room, gsize size)
{
  Head *head = room != NULL && size >= LARGE ? find_kept (room, size) : NULL;
  if (head == NULL)
    {
      /* A little more than asked for: the next one wants about as much. */
      gsize with = size >= LARGE && room != NULL ? size + size / 4 : size;
      head = g_malloc (sizeof *head + with);
      head->size = with;
    }
  return head + 1;
}

void
bl_room_give (BlRoom *room, gpointer buffer)
{
  if (buffer == NULL)
    return;
  Head *head = (Head *) buffer - 1;
  if (room == NULL || head->size < LARGE)
    {
      g_free (head);
      return;
    }
  if (room->kept->len == MOST_KEPT)
    g_ptr_array_remove_index (room->kept, 0);
  g_ptr_array_add (room->kept, head);
}

gpointer
bl_room_grow (BlRoom *room, gpointer buffer, gsize used, gsize size)
{
  gpointer grown = bl_room_take (room, size);
  if (used > 0)
    memcpy (grown, buffer, used);
  bl_room_give (room, buffer);
  return grown;
}
