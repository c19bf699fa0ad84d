/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Large buffers that are used again. Not for two threads at once. */
typedef struct BlRoom BlRoom;
BlRoom *bl_room_new (void);
void bl_room_free (BlRoom *room); /* NULL is nothing */
/* Gives what is not in use back to the system. */
void bl_room_clear (BlRoom *room);

/* A buffer of at least so many bytes, its contents undefined. room: NULL: fresh memory. */
gpointer bl_room_take (BlRoom *room, gsize size);
/* Takes a buffer back that bl_room_take () gave with the same room; NULL is nothing. */
void bl_room_give (BlRoom *room, gpointer buffer);
/* As g_realloc (), of the first used bytes. */
gpointer bl_room_grow (BlRoom *room, gpointer buffer, gsize used, gsize size);

G_END_DECLS
