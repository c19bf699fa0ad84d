/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Locks that only we let go. SQLite locks with fcntl (F_SETLK), and by POSIX.1-2017 ("close": all locks of the process
 * on the file are removed) whoever in our process opens and closes a library or its index lets go of them. The
 * toolkit's file dialog does: it looks into the files of the folder it lists. A second program that opens and closes
 * the library then believes to be the last one, deletes the write-ahead log and cuts the shared index short, and the
 * next look into it ends ours by SIGBUS.
 *
 * SQLite lets its system calls be replaced, so locks go to an open file description instead (F_OFD_SETLK, Linux 3.15;
 * they conflict with those of any other program as before). SQLite counts the locks of all its connections to a file
 * and unlocks through whichever descriptor is at hand, as process locks allow. So each file has one description of
 * ours that carries all its locks; it is closed with the last of SQLite's descriptors. A library has two such files,
 * the database and its index. Files that do not want such locks (some network folders) keep the old ones. */
#include "config.h"

#include "bl-file-locks.h"

#include <errno.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <stdarg.h>
#include <sys/stat.h>
#include <unistd.h>

#ifdef F_OFD_SETLK

typedef struct
{
  dev_t device;
  ino_t inode;
  int lock_fd;
  GArray *users; /* int: SQLite's descriptors of this file that were locked */
} LockedFile;

static GMutex mutex;
static GPtrArray *files; /* LockedFile, under the mutex */

static int (*plain_close) (int);

static void
locked_file_free (gpointer data)
{
  LockedFile *file = data;

  plain_close (file->lock_fd);
  g_array_unref (file->users);
  g_free (file);
}

/* Writing needs a description that may write; a library that may only be read is only ever locked for reading. */
static int
open_again (int fd)
{
  g_autofree char *path = g_strdup_printf ("/proc/self/fd/%d", fd);
  int again = open (path, O_RDWR | O_CLOEXEC);

  return again >= 0 ? again : open (path, O_RDONLY | O_CLOEXEC);
}

static LockedFile *
add_file (const struct stat *what, int fd)
{
  LockedFile *file;
  int lock_fd = open_again (fd);

  if (lock_fd < 0)
    return NULL;
  file = g_new0 (LockedFile, 1);
  file->device = what->st_dev;
  file->inode = what->st_ino;
  file->lock_fd = lock_fd;
  file->users = g_array_new (FALSE, FALSE, sizeof (int));
  g_ptr_array_add (files, file);
  return file;
}

static LockedFile *
find_file (int fd)
{
  struct stat what;

  if (fstat (fd, &what) != 0)
    return NULL;
  for (guint i = 0; i < files->len; i++)
    {
      LockedFile *file = g_ptr_array_index (files, i);
      if (file->device == what.st_dev && file->inode == what.st_ino)
        return file;
    }
  return add_file (&what, fd);
}

static gboolean
uses (const LockedFile *file, int fd, guint *place)
{
  for (guint i = 0; i < file->users->len; i++)
    if (g_array_index (file->users, int, i) == fd)
      {
        *place = i;
        return TRUE;
      }
  return FALSE;
}

/* The result of fcntl (). */
static int
lock (int fd, int command, struct flock *wanted)
{
  g_autoptr (GMutexLocker) locker = g_mutex_locker_new (&mutex);
  LockedFile *file = find_file (fd);
  struct flock asked = *wanted;
  guint place;
  int result;

  if (file == NULL)
    return fcntl (fd, command, wanted);
  if (!uses (file, fd, &place))
    g_array_append_val (file->users, fd);
  asked.l_pid = 0; /* must be */
  result = fcntl (file->lock_fd, command == F_GETLK ? F_OFD_GETLK : F_OFD_SETLK, &asked);
  if (result != 0 && errno == EINVAL)
    return fcntl (fd, command, wanted);
  if (command == F_GETLK)
    *wanted = asked;
  return result;
}

/* In place of SQLite's fcntl (): it locks without waiting, and asks for and sets the flags of a descriptor. */
static int
our_fcntl (int fd, int command, ...)
{
  int result;
  va_list rest;

  va_start (rest, command);
  if (command == F_SETLK || command == F_GETLK)
    result = lock (fd, command, va_arg (rest, struct flock *));
  else if (command == F_GETFD || command == F_GETFL)
    result = fcntl (fd, command);
  else
    result = fcntl (fd, command, va_arg (rest, int));
  va_end (rest);
  return result;
}

static void
leave (int fd)
{
  g_autoptr (GMutexLocker) locker = g_mutex_locker_new (&mutex);

  for (guint i = 0; i < files->len; i++)
    {
      LockedFile *file = g_ptr_array_index (files, i);
      guint place;
      if (!uses (file, fd, &place))
        continue;
      g_array_remove_index_fast (file->users, place);
      if (file->users->len == 0)
        g_ptr_array_remove_index_fast (files, i);
      return;
    }
}

static int
our_close (int fd)
{
  leave (fd);
  return plain_close (fd);
}

void
bl_file_locks_install (void)
{
  static gsize done = 0;

  if (g_once_init_enter (&done))
    {
      sqlite3_vfs *vfs = sqlite3_vfs_find ("unix");
      if (vfs != NULL && vfs->iVersion >= 3 && vfs->xGetSystemCall (vfs, "fcntl") != NULL
          && vfs->xGetSystemCall (vfs, "close") != NULL)
        {
          files = g_ptr_array_new_with_free_func (locked_file_free);
          plain_close = (int (*) (int)) vfs->xGetSystemCall (vfs, "close");
          vfs->xSetSystemCall (vfs, "close", (sqlite3_syscall_ptr) our_close);
          vfs->xSetSystemCall (vfs, "fcntl", (sqlite3_syscall_ptr) our_fcntl);
        }
      g_once_init_leave (&done, 1);
    }
}

#else

void
bl_file_locks_install (void)
{
}

#endif
