// Ranks that the program starts itself, so that a plain command keeps every core busy.
#pragma once
#include <string>
#include <vector>

namespace raybend {

/// True inside `mpirun` (the user's or our own).
bool under_mpirun();

/// True in ranks that `run_on_all_cores` started.
bool started_by_us();

/// Rank under mpirun, 0 otherwise.
int environment_rank();

/// How many ranks `run_on_all_cores` starts: one a core, at most 16; 1 where it starts none.
unsigned ranks_to_start();

/// Runs this program again with the same arguments under `mpirun -n ranks_to_start()`, waits for it and prints
/// what its ranks say. Returns its exit status, or -1 if it could not be started (one core, no mpirun): the caller
/// then goes on alone. Removes the unfinished results of ranks that were killed. Throws StoppedBySignal after a
/// signal that ends this process.
int run_on_all_cores(const std::vector<std::string> &arguments);

/// In rank 0 of ranks started by us: hands the exit status (or the staging folder to be removed after a
/// crash) to the process that waits. mpirun's own status would come with its own messages.
void hand_over_status(int status);
void hand_over_staging(const std::string &folder);

/// To stdout, to stderr, to stderr as "raybend: words". In ranks started by us the process that waits prints it,
/// after all: it notices an output that cannot be written, and a rank other than 0 has no stderr.
void say_text(const std::string &text);
void say_note(const std::string &line);
void say_trouble(std::string words);

/// True if stderr of the command the user typed is a terminal.
bool on_terminal();

/// Its columns; 80 where they are not known.
unsigned terminal_columns();

} // namespace raybend
