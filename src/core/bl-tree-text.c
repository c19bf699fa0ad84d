/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The text form of a fault tree.
 *
 * One fact per line, words separated by blanks, '#' starts a comment:
 *   top NAME
 *   gate NAME OP K CHILD...   OP: and or not xor atleast nand nor pass; K: minimum of atleast, else
 * 0 event NAME PROBABILITY const NAME 0|1 obs NAME IF_TRUE IF_FALSE Names may be used before their
 * line. Numbers have the point as decimal sign. Read in two passes over the lines: names first,
 * then who is whose child, so every complaint knows its line.
 */
#include "config.h"

#include "bl-tree-private.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <string.h>

typedef struct
{
  guint number;
  char **words;
  guint n_words;
} Line;

typedef struct
{
  BlTree *tree;
  GArray *lines;       /* Line */
  GHashTable *indices; /* name -> node index + 1 */
  GArray *line_of;     /* guint, per node */
} Reader;

static void
line_clear (gpointer data)
{
  g_strfreev (((Line *) data)->words);
}

static void
reader_clear (Reader *reader)
{
  g_clear_pointer (&reader->tree, bl_tree_free);
  g_clear_pointer (&reader->lines, g_array_unref);
  g_clear_pointer (&reader->indices, g_hash_table_unref);
  g_clear_pointer (&reader->line_of, g_array_unref);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Reader, reader_clear)

G_GNUC_PRINTF (4, 5)
static gboolean
complain (GError **error, int code, const Line *line, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  g_autofree char *message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, BL_CORE_ERROR, code, _ ("line %u: %s"), line->number, message);
  return FALSE;
}

static char **
split_words (const char *text, gsize length, guint *n_words)
{
  g_autoptr (GPtrArray) words = g_ptr_array_new_with_free_func (g_free);
  for (gsize i = 0; i < length && text[i] != '#';)
    {
      gsize start = i;
      while (i < length && text[i] != '#' && !g_ascii_isspace (text[i]))
        i++;
      if (i > start)
        g_ptr_array_add (words, g_strndup (text + start, i - start));
      else
        i++;
    }
  *n_words = words->len;
  g_ptr_array_add (words, NULL);
  return (char **) g_ptr_array_steal (words, NULL);
}

static void
split_lines (Reader *reader, const char *text, gsize length)
{
  guint number = 0;
  gsize start = length >= 3 && memcmp (text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
  while (start < length)
    {
      const char *newline = memchr (text + start, '\n', length - start);
      gsize end = newline != NULL ? (gsize) (newline - text) : length;
      Line line = { ++number, NULL, 0 };
      line.words = split_words (text + start, end - start, &line.n_words);
      if (line.n_words > 0)
        g_array_append_val (reader->lines, line);
      else
        line_clear (&line);
      start = end + 1;
    }
}

static gboolean
parse_number (const Line *line, guint word, double *value, GError **error)
{
  char *end = NULL;
  *value = g_ascii_strtod (line->words[word], &end);
  if (end == line->words[word] || *end != '\0' || !isfinite (*value))
    return complain (error, BL_CORE_ERROR_PARSE, line, _ ("“%s” is no number"), line->words[word]);
  return TRUE;
}

static gboolean
expect_words (const Line *line, guint n, GError **error)
{
  if (line->n_words == n)
    return TRUE;
  return complain (error, BL_CORE_ERROR_PARSE, line,
                   ngettext ("“%s” takes %u word, not %u", "“%s” takes %u words, not %u", n - 1),
                   line->words[0], n - 1, line->n_words - 1);
}

static gboolean
parse_operation (const char *word, BlNodeKind *kind)
{
  static const struct
  {
    const char *word;
    BlNodeKind kind;
  } operations[] = {
    { "and", BL_NODE_AND },         { "or", BL_NODE_OR },     { "not", BL_NODE_NOT },
    { "xor", BL_NODE_XOR },         { "nand", BL_NODE_NAND }, { "nor", BL_NODE_NOR },
    { "atleast", BL_NODE_ATLEAST }, { "pass", BL_NODE_PASS },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (operations); i++)
    if (strcmp (operations[i].word, word) == 0)
      {
        *kind = operations[i].kind;
        return TRUE;
      }
  return FALSE;
}

static BlNode *
define (Reader *reader, const Line *line, BlNodeKind kind, GError **error)
{
  const char *name = line->words[1];
  guint before = GPOINTER_TO_UINT (g_hash_table_lookup (reader->indices, name));
  if (before != 0)
    {
      complain (error, BL_CORE_ERROR_INVALID, line, _ ("“%s” is already defined in line %u"), name,
                g_array_index (reader->line_of, guint, before - 1));
      return NULL;
    }
  BlNode *node = bl_tree_add (reader->tree, kind, name, NULL);
  g_hash_table_insert (reader->indices, node->id, GUINT_TO_POINTER (reader->tree->nodes->len));
  g_array_append_val (reader->line_of, line->number);
  return node;
}

static gboolean
check_counts (const Line *line, BlNodeKind kind, guint64 k, GError **error)
{
  guint n = line->n_words - 4;
  const char *operation = line->words[2];
  if (kind == BL_NODE_ATLEAST)
    return (k >= 1 && k <= n) ||
           complain (error, BL_CORE_ERROR_INVALID, line,
                     _ ("“%s” asks for at least %s of %u children: out of range"), line->words[1],
                     line->words[3], n);
  if (k != 0)
    return complain (error, BL_CORE_ERROR_INVALID, line,
                     _ ("the number before the children of "
                        "“%s” must be 0, it is %s"),
                     operation, line->words[3]);
  if ((kind == BL_NODE_NOT || kind == BL_NODE_PASS) && n != 1)
    return complain (error, BL_CORE_ERROR_INVALID, line, _ ("“%s” takes one child, not %u"),
                     operation, n);
  return n > 0 || complain (error, BL_CORE_ERROR_INVALID, line, _ ("gate “%s” has no children"),
                            line->words[1]);
}

static gboolean
define_gate (Reader *reader, const Line *line, GError **error)
{
  BlNodeKind kind;
  guint64 k = 0;
  if (line->n_words < 4)
    return complain (error, BL_CORE_ERROR_PARSE, line,
                     _ ("a gate is written: gate NAME OPERATION NUMBER CHILD..."));
  if (!parse_operation (line->words[2], &kind))
    return complain (error, BL_CORE_ERROR_PARSE, line, _ ("unknown operation “%s”"),
                     line->words[2]);
  if (!g_ascii_string_to_unsigned (line->words[3], 10, 0, G_MAXUINT32, &k, NULL))
    return complain (error, BL_CORE_ERROR_PARSE, line, _ ("“%s” is no whole number from 0 up"),
                     line->words[3]);
  if (!check_counts (line, kind, k, error))
    return FALSE;
  BlNode *node = define (reader, line, kind, error);
  if (node != NULL)
    node->k = (guint) k;
  return node != NULL;
}

static gboolean
define_event (Reader *reader, const Line *line, GError **error)
{
  double probability;
  if (!expect_words (line, 3, error) || !parse_number (line, 2, &probability, error))
    return FALSE;
  if (probability < 0 || probability > 1)
    return complain (error, BL_CORE_ERROR_INVALID, line,
                     _ ("probability of “%s” is %s, outside 0 to 1"), line->words[1],
                     line->words[2]);
  BlNode *node = define (reader, line, BL_NODE_EVENT, error);
  if (node != NULL)
    node->probability = probability;
  return node != NULL;
}

static gboolean
define_const (Reader *reader, const Line *line, GError **error)
{
  if (!expect_words (line, 3, error))
    return FALSE;
  if (strcmp (line->words[2], "0") != 0 && strcmp (line->words[2], "1") != 0)
    return complain (error, BL_CORE_ERROR_INVALID, line, _ ("“%s” must be 0 or 1, not %s"),
                     line->words[1], line->words[2]);
  BlNode *node = define (reader, line, BL_NODE_CONST, error);
  if (node != NULL)
    node->probability = line->words[2][0] == '1';
  return node != NULL;
}

static gboolean
define_names (Reader *reader, GError **error)
{
  for (guint i = 0; i < reader->lines->len; i++)
    {
      const Line *line = &g_array_index (reader->lines, Line, i);
      const char *fact = line->words[0];
      gboolean good = TRUE;
      if (strcmp (fact, "gate") == 0)
        good = define_gate (reader, line, error);
      else if (strcmp (fact, "event") == 0)
        good = define_event (reader, line, error);
      else if (strcmp (fact, "const") == 0)
        good = define_const (reader, line, error);
      else if (strcmp (fact, "top") == 0)
        good = expect_words (line, 2, error);
      else if (strcmp (fact, "obs") == 0)
        good = expect_words (line, 4, error);
      else
        good = complain (error, BL_CORE_ERROR_PARSE, line,
                         _ ("“%s” is none of top, gate, event, const, obs"), fact);
      if (!good)
        return FALSE;
    }
  return TRUE;
}

static gboolean
look_up (Reader *reader, const Line *line, const char *name, guint *index, GError **error)
{
  guint found = GPOINTER_TO_UINT (g_hash_table_lookup (reader->indices, name));
  if (found == 0)
    return complain (error, BL_CORE_ERROR_UNKNOWN, line, _ ("“%s” is not defined"), name);
  *index = found - 1;
  return TRUE;
}

static gboolean
add_reading (Reader *reader, const Line *line, GError **error)
{
  BlSoftReading reading = { 0, 0, 0 };
  if (!look_up (reader, line, line->words[1], &reading.node, error) ||
      !parse_number (line, 2, &reading.if_true, error) ||
      !parse_number (line, 3, &reading.if_false, error))
    return FALSE;
  if (reading.if_true < 0 || reading.if_false < 0 || reading.if_true + reading.if_false <= 0)
    return complain (error, BL_CORE_ERROR_INVALID, line,
                     _ ("the likelihoods of “%s” must not be negative, nor both 0"),
                     line->words[1]);
  if (reader->tree->readings == NULL)
    reader->tree->readings = g_array_new (FALSE, FALSE, sizeof (BlSoftReading));
  g_array_append_val (reader->tree->readings, reading);
  return TRUE;
}

static gboolean
join_gate (Reader *reader, const Line *line, GError **error)
{
  guint gate = 0, child = 0;
  if (!look_up (reader, line, line->words[1], &gate, error))
    return FALSE;
  for (guint i = 4; i < line->n_words; i++)
    {
      if (!look_up (reader, line, line->words[i], &child, error))
        return FALSE;
      bl_node_add_child (bl_tree_node (reader->tree, gate), child);
    }
  return TRUE;
}

static gboolean
join_names (Reader *reader, GError **error)
{
  const Line *top = NULL;
  for (guint i = 0; i < reader->lines->len; i++)
    {
      const Line *line = &g_array_index (reader->lines, Line, i);
      gboolean good = TRUE;
      if (strcmp (line->words[0], "gate") == 0)
        good = join_gate (reader, line, error);
      else if (strcmp (line->words[0], "obs") == 0)
        good = add_reading (reader, line, error);
      else if (strcmp (line->words[0], "top") == 0 && top != NULL)
        good = complain (error, BL_CORE_ERROR_INVALID, line,
                         _ ("the top is already named in line %u"), top->number);
      else if (strcmp (line->words[0], "top") == 0)
        good = look_up (reader, top = line, line->words[1], &reader->tree->top, error);
      if (!good)
        return FALSE;
    }
  if (top == NULL)
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                 _ ("no line names the top event (top NAME)"));
  return top != NULL;
}

/* A loop is told with the line of the first of its gates. */
static gboolean
check_loops (Reader *reader, GError **error)
{
  g_autoptr (GArray) all = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < reader->tree->nodes->len; i++)
    g_array_append_val (all, i);
  guint loop = 0;
  g_autoptr (GArray) order = bl_tree_children_first (reader->tree, all, &loop, error);
  if (order == NULL)
    g_prefix_error (error, _ ("line %u: "), g_array_index (reader->line_of, guint, loop));
  return order != NULL;
}

BlTree *
bl_tree_parse (const char *text, gssize length, GError **error)
{
  g_return_val_if_fail (text != NULL, NULL);
  gsize n = length < 0 ? strlen (text) : (gsize) length;
  if (!g_utf8_validate_len (text, n, NULL))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("the tree is not UTF-8 text"));
      return NULL;
    }
  g_auto (Reader) reader = {
    .tree = bl_tree_new (),
    .lines = g_array_new (FALSE, FALSE, sizeof (Line)),
    .indices = g_hash_table_new (g_str_hash, g_str_equal),
    .line_of = g_array_new (FALSE, FALSE, sizeof (guint)),
  };
  g_array_set_clear_func (reader.lines, line_clear);
  split_lines (&reader, text, n);
  if (!define_names (&reader, error) || !join_names (&reader, error) ||
      !check_loops (&reader, error))
    return NULL;
  return g_steal_pointer (&reader.tree);
}
