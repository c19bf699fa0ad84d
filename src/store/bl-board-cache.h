/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* Documents of boards that were read or written a moment ago, with what was read from them. */
typedef struct BlBoardCache BlBoardCache;

BlBoardCache *bl_board_cache_new (void);
void bl_board_cache_free (BlBoardCache *self);

/* The board of this very text, or NULL where it is not known. (transfer full) */
BlBoard *bl_board_cache_find (BlBoardCache *self, const char *text);
/* Keeps a copy of board, whose text it is and which is a valid one. */
void bl_board_cache_keep (BlBoardCache *self, const char *text, const BlBoard *board);
/* As bl_document_parse (), which is asked where the text is not known. (transfer full) */
BlBoard *bl_board_cache_parse (BlBoardCache *self, const char *text, GError **error);

G_END_DECLS
