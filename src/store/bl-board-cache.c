/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading a document of 150 kB takes 3 ms, a copy of what was read 0.2 ms. A step of undo brings a text that was there
 * before and asks for the board twice, to save and to show it, so what was read or written last is kept under its
 * text. Texts are compared as a whole: a document that is one byte otherwise is read. The oldest go first; no more than
 * the limits below, which is some 50 MB at most. For one thread, as the library that owns it. */
#include "config.h"

#include "bl-board-cache.h"

#include "bl-document.h"

#include <string.h>

enum { MOST_BOARDS = 32, MOST_TEXT = 8 << 20 };

typedef struct
{
  char *text;
  gsize size;
  BlBoard *board;
} Kept;

struct BlBoardCache
{
  GQueue kept; /* Kept, the newest first */
  gsize size;  /* of all texts */
};

static void
kept_free (Kept *kept)
{
  g_free (kept->text);
  bl_board_free (kept->board);
  g_free (kept);
}

BlBoardCache *
bl_board_cache_new (void)
{
  BlBoardCache *self = g_new0 (BlBoardCache, 1);

  g_queue_init (&self->kept);
  return self;
}

void
bl_board_cache_free (BlBoardCache *self)
{
  if (self == NULL)
    return;
  g_queue_clear_full (&self->kept, (GDestroyNotify) kept_free);
  g_free (self);
}

static GList *
find (BlBoardCache *self, const char *text, gsize size)
{
  for (GList *link = self->kept.head; link != NULL; link = link->next)
    {
      const Kept *kept = link->data;
      if (kept->size == size && memcmp (kept->text, text, size) == 0)
        return link;
    }
  return NULL;
}

/* Moved to the front; NULL: not known. */
static Kept *
touch (BlBoardCache *self, const char *text, gsize size)
{
  GList *link = find (self, text, size);

  if (link == NULL)
    return NULL;
  g_queue_unlink (&self->kept, link);
  g_queue_push_head_link (&self->kept, link);
  return link->data;
}

BlBoard *
bl_board_cache_find (BlBoardCache *self, const char *text)
{
  g_return_val_if_fail (self != NULL && text != NULL, NULL);
  const Kept *kept = touch (self, text, strlen (text));

  return kept != NULL ? bl_board_copy (kept->board) : NULL;
}

static void
drop_oldest (BlBoardCache *self)
{
  while (self->kept.length > MOST_BOARDS || (self->kept.length > 1 && self->size > MOST_TEXT))
    {
      Kept *kept = g_queue_pop_tail (&self->kept);
      self->size -= kept->size;
      kept_free (kept);
    }
}

void
bl_board_cache_keep (BlBoardCache *self, const char *text, const BlBoard *board)
{
  g_return_if_fail (self != NULL && text != NULL && board != NULL);
  gsize size = strlen (text);
  Kept *kept;

  if (touch (self, text, size) != NULL)
    return;
  kept = g_new0 (Kept, 1);
  kept->text = g_strndup (text, size);
  kept->size = size;
  kept->board = bl_board_copy (board);
  self->size += size;
  g_queue_push_head (&self->kept, kept);
  drop_oldest (self);
}

BlBoard *
bl_board_cache_parse (BlBoardCache *self, const char *text, GError **error)
{
  BlBoard *board = bl_board_cache_find (self, text);

  if (board != NULL)
    return board;
  board = bl_document_parse (text, -1, NULL, error);
  if (board != NULL)
    bl_board_cache_keep (self, text, board);
  return board;
}
