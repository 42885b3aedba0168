// A command of the program: its words for the help, its options, what it does with them.
#pragma once
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace raybend {

/// A wrong request on the command line: exit status 2.
struct UsageError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

struct Option {
  std::string name;      ///< without its dashes
  std::string value;     ///< what the help calls its value, "" for one that takes none
  std::string words;     ///< for the help
  bool repeated = false; ///< may be given several times
};

struct Command;

/// What was typed after a command's name, checked against its options.
struct Request {
  const Command *command = nullptr;
  std::vector<std::string> words;                           ///< as they were typed, the command's name first
  std::vector<std::pair<std::string, std::string>> options; ///< names and values, as often as they were given
  std::vector<std::string> arguments;

  bool has(const std::string &name) const;
  std::string text(const std::string &name, const std::string &otherwise) const;
  std::vector<std::string> texts(const std::string &name) const;
  /// A whole number. Throws UsageError outside low..high; nothing if the option is not given.
  std::optional<int> number(const std::string &name, int low, int high) const;
  /// The first argument. Throws UsageError if there is none; `what` was to be named: "case file".
  const std::string &file(const std::string &what) const;
};

struct Command {
  std::string name;
  std::string usage; ///< behind "raybend "
  std::string line;  ///< in the list of commands: what it does, in a few words
  std::string words; ///< in its own help
  std::vector<Option> options;
  std::size_t most_arguments;
  std::vector<std::string> cautions;
  int (*run)(const Request &); ///< returns the exit status
};

/// Options that more than one command has.
extern const Option out_option, set_option, resolution_option, no_pictures_option, quiet_option;
/// The standing cautions (geometry/cautions.hpp).
std::vector<std::string> general_cautions();

/// The commands that this program has. Those of the laboratory may be left out of a build (RAYBEND_LAB).
Command new_command();
Command compare_command();
Command check_command();
Command explain_command();
Command study_command();
Command best_command();
Command textbook_command();
Command validate_command();
Command beam_command();

/// Runs the command that `words` begin with, or prints help or version. Returns the exit status. Throws UsageError.
int run_command(const std::vector<Command> &commands, const std::vector<std::string> &words);

// ---- what commands that write files share

/// Where the results go: --out, or ./<stem>-results. Throws UsageError if they cannot be written there.
std::string out_folder(const Request &request, const std::string &stem);
/// calculation_date(). Throws UsageError.
std::string date_for_report();
/// To stderr, before anything is calculated.
void print_warnings(const std::vector<std::string> &warnings);
/// An output that nobody reads any more is a failed write then, and all is cleaned up. Commands that only print end by
/// SIGPIPE, as a pipe's reader that has enough expects.
void keep_on_when_pipe_closes();

} // namespace raybend
