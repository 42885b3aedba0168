// The program `raybend`: commands, their options, exit status.
// 0 done; 1 the run failed; 2 the request is wrong.
#include "cases/casefile/case_error.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/catalogue/explain.hpp"
#include "cases/commands/beam_command.hpp"
#include "cases/commands/check_report.hpp"
#include "cases/commands/compare.hpp"
#include "cases/commands/textbook.hpp"
#include "cases/commands/validate.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/run/forecast.hpp"
#include "cases/run/handled_signals.hpp"
#include "cases/run/output_directory.hpp"
#include "cases/run/workers.hpp"
#include "cases/words/calculation_date.hpp"
#include "cases/words/words.hpp"
#include "geometry/beam_cautions.hpp"
#include "geometry/cautions.hpp"
#include "geometry/version.hpp"
#include <algorithm>
#include <boost/program_options.hpp>
#include <csignal>
#include <cstdio>
#include <iostream>
#include <sstream>

namespace po = boost::program_options;
using namespace raybend;

namespace {

/// For commands that write files: an output that nobody reads any more is a failed write, and all is cleaned up.
/// Those that only print end by SIGPIPE, as a pipe's reader that has enough expects.
void keep_on_when_pipe_closes() {
  std::signal(SIGPIPE, SIG_IGN);
}

/// A wrong request: exit status 2.
struct UsageError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

const std::vector<std::string> commands = {"compare", "check", "explain", "textbook", "validate", "beam"};

std::string general_help() {
  std::string text =
      "Raybend compares custom insole designs by what they leave in the bones of one forefoot.\n"
      "\n"
      "  raybend compare CASE.toml [options]   solve every design and write the comparison\n"
      "  raybend check CASE.toml [options]     show the case as it will be calculated; solve nothing\n"
      "  raybend explain [KEY]                 say what a key of a case file means, its unit and source\n"
      "  raybend textbook NAME... | --all      solve cases of the textbooks with the same solver; --list "
      "names them\n"
      "  raybend validate NAME... | --all      solve what was measured and published; --list names the rows\n"
      "  raybend beam BEAM.toml [options]      solve a laboratory's own beam in 3D, set it against beam "
      "theory\n"
      "  raybend help COMMAND                  options of a command\n"
      "  raybend --version\n"
      "\n"
      "Exit status: 0 done; 1 the run failed; 2 the request is wrong.\n"
      "\n"
      "Cautions\n";
  for (const char *caution : cautions)
    text += "  * " + folded(caution, 92, 4) + "\n";
  return text;
}

struct Command {
  std::string name, usage, words;
  po::options_description options{"Options"};
  std::size_t most_arguments = 1;
};

Command describe(const std::string &name) {
  Command c;
  c.name = name;
  auto add = c.options.add_options();
  if (name == "compare") {
    c.usage = "raybend compare CASE.toml [options]";
    c.words =
        "Solves every design of the case, with and without its support elements, and writes the comparison.";
    add("out", po::value<std::string>()->value_name("DIR"),
        "directory for the results (default: ./<case>-results)");
  }
  if (name == "check") {
    c.usage = "raybend check CASE.toml [options]";
    c.words = "Shows foot, loads and designs as they will be calculated, and what the calculation will cost.";
  }
  if (name == "textbook") {
    c.usage = "raybend textbook NAME... | --all | --list [options]";
    c.words =
        "Solves cases with known answers on refined meshes and compares. NAME is a name of --list, or a case "
        "file ending in .toml. Exit status: 0 all within their tolerances (or missed with a reason that the "
        "case file gives); 1 otherwise.";
    c.most_arguments = 1000;
    add("list", "name the ready cases");
    add("all", "all ready cases");
    add("levels", po::value<int>()->value_name("N"), "number of meshes, each with halved cells (1 to 6)");
    add("out", po::value<std::string>()->value_name("DIR"),
        "directory for the results (default: ./textbook-results)");
    add("vtu", "write displacement and stress of the finest mesh for ParaView");
  } else if (name == "validate") {
    c.usage = "raybend validate NAME... | --all | --list [options]";
    c.words = "Solves the foot as it was measured and sets what it finds against published values. NAME is a "
              "name of "
              "--list, or a row's file ending in .toml. Exit status: 0 every row is as its file says (met, "
              "or missed "
              "with a reason and inside its bounds; values as pinned); 1 otherwise.";
    c.most_arguments = 1000;
    add("list", "name the rows");
    add("all", "all rows");
    add("resolution", po::value<std::string>()->value_name("WORD"),
        "coarse, standard or fine in place of the rows' own; pinned values are then not compared");
    add("out", po::value<std::string>()->value_name("DIR"),
        "directory for the results (default: ./validation-results)");
    add("pin", "write the values found into the rows' files, after a person has looked at them");
  } else if (name == "explain") {
    c.usage = "raybend explain [KEY]";
    c.words =
        "Says what a key of a case file means, with unit, default, range and source. KEY may also be a "
        "section, a material, an activity or a foot form; materials, activities and foot forms list what "
        "there is. Without KEY: lists all.";
  } else if (name == "beam") {
    c.usage = "raybend beam BEAM.toml [options]";
    c.words = "Solves a laboratory's own beam in three dimensions and sets deflections, section forces and "
              "stresses "
              "against Euler-Bernoulli's and Timoshenko's beam theory.";
    add("out", po::value<std::string>()->value_name("DIR"),
        "directory for the results (default: ./<beam>-results)");
    add("levels", po::value<int>()->value_name("N"), "meshes to solve, 1 to 4 (same as beam.levels)");
    add("vtu", "write displacement and stress for ParaView");
    add("keys", "list the keys of a beam file and do nothing else");
  } else {
    add("set", po::value<std::vector<std::string>>()->value_name("KEY=VALUE"),
        "change one value of the case; may be repeated. Lists count from 1: designs[1].fit=0.5, or by name: "
        "designs.moulded.fit=0.5");
    add("resolution", po::value<std::string>()->value_name("WORD"),
        "coarse, standard or fine (same as mesh.resolution)");
  }
  if (name == "compare" || name == "textbook" || name == "beam")
    add("no-pictures", "write no pictures");
  if (name == "compare" || name == "textbook" || name == "validate" || name == "beam") {
    add("quiet", "print no progress");
  }
  add("help,h", "this help");
  return c;
}

std::string command_help(const Command &c) {
  std::ostringstream text;
  text << "usage: " << c.usage << "\n\n" << folded(c.words, 96, 0) << "\n\n" << c.options;
  text << "\nCautions\n";
  const auto add = [&text](const auto &list) {
    for (const char *caution : list)
      text << "  * " << folded(caution, 92, 4) << "\n";
  };
  if (c.name == "beam")
    add(beam_cautions);
  else
    add(cautions);
  return text.str();
}

/// `typed`: with its dashes.
[[noreturn]] void unknown_option(const Command &c, std::string typed) {
  typed = typed.substr(0, typed.find('='));
  const std::string name = typed.substr(std::min(typed.find_first_not_of('-'), typed.size()));
  std::vector<std::string> known;
  for (const auto &option : c.options.options())
    known.push_back(option->long_name());
  const std::string nearest = nearest_name(name, known);
  throw UsageError(
      "unknown option \"" + printable(typed) + "\" of " + c.name +
      (nearest.empty() ? "; see raybend " + c.name + " --help" : "; did you mean \"--" + nearest + "\"?"));
}

po::variables_map parse(const Command &c, std::vector<std::string> words,
                        std::vector<std::string> &arguments) {
  const auto dashes = std::find(words.begin(), words.end(), "--"); // arguments alone follow
  const std::vector<std::string> plain(dashes == words.end() ? dashes : dashes + 1, words.end());
  words.erase(dashes, words.end());
  po::options_description all;
  all.add(c.options).add_options()("argument", po::value<std::vector<std::string>>());
  po::positional_options_description places;
  places.add("argument", -1);
  po::variables_map values;
  try {
    const int style = po::command_line_style::unix_style & ~po::command_line_style::allow_guessing;
    po::store(po::command_line_parser(words).options(all).positional(places).style(style).run(), values);
  } catch (const po::unknown_option &error) {
    unknown_option(c, error.get_option_name());
  } catch (const po::multiple_occurrences &error) {
    throw UsageError("option \"" + error.get_option_name() + "\" is given twice");
  } catch (const po::error &error) {
    throw UsageError(printable(error.what(), 200) + "; see raybend " + c.name + " --help");
  }
  po::notify(values);
  if (values.count("argument"))
    arguments = values["argument"].as<std::vector<std::string>>();
  for (const std::string &argument : arguments)
    if (argument.size() > 1 && argument[0] == '-' && argument.find('/') == std::string::npos)
      unknown_option(c, argument);
  arguments.insert(arguments.end(), plain.begin(), plain.end());
  if (!values.count("help") && arguments.size() > c.most_arguments)
    throw UsageError("one argument too many for " + c.name + ": \"" + printable(arguments[c.most_arguments]) +
                     "\"");
  return values;
}

/// "" if none is given.
std::string resolution(const po::variables_map &values) {
  if (!values.count("resolution"))
    return "";
  const std::string word = values["resolution"].as<std::string>();
  const std::vector<std::string> &known = catalogue_row("mesh.resolution").choices;
  if (std::find(known.begin(), known.end(), word) == known.end()) {
    const std::string nearest = nearest_name(word, known);
    throw UsageError("--resolution: found \"" + printable(word) + "\"; allowed " + list_text(known) +
                     (nearest.empty() ? "" : "; did you mean \"" + nearest + "\"?"));
  }
  return word;
}

Case read_for(const Command &c, const po::variables_map &values, const std::vector<std::string> &arguments) {
  if (arguments.empty())
    throw UsageError("no case file named; usage: " + c.usage);
  std::vector<std::string> sets;
  if (values.count("set"))
    sets = values["set"].as<std::vector<std::string>>();
  if (const std::string word = resolution(values); !word.empty())
    sets.push_back("mesh.resolution=" + word);
  return read_case(arguments[0], sets);
}

std::string date_for_report() {
  try {
    return calculation_date();
  } catch (const std::runtime_error &error) {
    throw UsageError(error.what());
  }
}

int compare(const Command &c, const po::variables_map &values, const std::vector<std::string> &arguments,
            const int argc, char **argv) {
  keep_on_when_pipe_closes();
  const Case given = read_for(c, values, arguments);
  CompareOptions options;
  options.out =
      values.count("out") ? values["out"].as<std::string>() : "./" + case_stem(given.path) + "-results";
  options.date = date_for_report();
  options.pictures = !values.count("no-pictures");
  options.quiet = values.count("quiet") > 0;
  options.argc = argc;
  options.argv = argv;
  if (const std::string reason = started_by_us() ? "" : why_not_writable(options.out); !reason.empty())
    throw UsageError(reason);
  if (!options.quiet && !started_by_us())
    for (const std::string &warning : given.warnings)
      std::cerr << "raybend: warning: " << warning << "\n";
  return run_compare(given, options);
}

int beam(const Command &c, const po::variables_map &values, const std::vector<std::string> &arguments,
         const int argc, char **argv) {
  if (values.count("keys")) {
    std::cout << explain_beam_keys();
    return 0;
  }
  keep_on_when_pipe_closes();
  if (arguments.empty())
    throw UsageError("no beam file named; usage: " + c.usage);
  if (under_mpirun())
    throw UsageError("a beam is solved in one process; start it without mpirun");
  const BeamCase given = read_beam(arguments[0]);
  BeamOptions options;
  options.out =
      values.count("out") ? values["out"].as<std::string>() : "./" + case_stem(given.path) + "-results";
  if (values.count("levels")) {
    options.levels = values["levels"].as<int>();
    if (options.levels < 1 || options.levels > 4)
      throw UsageError("--levels: found " + std::to_string(options.levels) + "; allowed 1 to 4");
  }
  options.date = date_for_report();
  options.pictures = !values.count("no-pictures");
  options.vtu = values.count("vtu") > 0;
  options.quiet = values.count("quiet") > 0;
  options.argc = argc;
  options.argv = argv;
  if (const std::string reason = why_not_writable(options.out); !reason.empty())
    throw UsageError(reason);
  if (!options.quiet)
    for (const std::string &warning : given.warnings)
      std::cerr << "raybend: warning: " << warning << "\n";
  return run_beam(given, options);
}

int textbook(const Command &c, const po::variables_map &values, const std::vector<std::string> &arguments,
             const int argc, char **argv) {
  if (values.count("list")) {
    std::cout << textbook_list();
    return 0;
  }
  keep_on_when_pipe_closes();
  if (under_mpirun())
    throw UsageError("each textbook case is solved in a process of its own; start it without mpirun");
  TextbookOptions options;
  options.names = arguments;
  options.all = values.count("all") > 0;
  if (arguments.empty() == !options.all)
    throw UsageError((options.all ? "--all stands beside names" : "no case named") +
                     std::string("; usage: ") + c.usage);
  if (values.count("levels")) {
    const int levels = values["levels"].as<int>();
    if (levels < 1 || levels > 6)
      throw UsageError("--levels: found " + std::to_string(levels) + "; allowed 1 to 6");
    options.levels = levels;
  }
  options.out = values.count("out") ? values["out"].as<std::string>() : "./textbook-results";
  options.vtu = values.count("vtu") > 0;
  options.pictures = !values.count("no-pictures");
  options.quiet = values.count("quiet") > 0;
  if (solves_one_case())
    return solve_one_case(options, argc, argv);
  if (const std::string reason = why_not_writable(options.out); !reason.empty())
    throw UsageError(reason);
  return run_textbook(options);
}

int validate(const Command &c, const po::variables_map &values, const std::vector<std::string> &arguments,
             const int argc, char **argv) {
  if (values.count("list")) {
    std::cout << validation_list();
    return 0;
  }
  keep_on_when_pipe_closes();
  if (under_mpirun())
    throw UsageError("each load is solved in a process of its own; start it without mpirun");
  ValidateOptions options;
  options.names = arguments;
  options.all = values.count("all") > 0;
  if (arguments.empty() == !options.all)
    throw UsageError((options.all ? "--all stands beside names" : "no row named") + std::string("; usage: ") +
                     c.usage);
  options.resolution = resolution(values);
  options.pin = values.count("pin") > 0;
  if (options.pin && !options.resolution.empty())
    throw UsageError(
        "--pin stands beside --resolution; values are pinned at the resolution that a row states");
  options.out = values.count("out") ? values["out"].as<std::string>() : "./validation-results";
  options.quiet = values.count("quiet") > 0;
  if (solves_one_load())
    return solve_one_load(options, argc, argv);
  if (const std::string reason = why_not_writable(options.out); !reason.empty())
    throw UsageError(reason);
  return run_validate(options);
}

void require_command(const std::string &word) {
  if (std::find(commands.begin(), commands.end(), word) != commands.end())
    return;
  const bool option = !word.empty() && word[0] == '-';
  const std::string nearest = option ? "" : nearest_name(word, commands);
  throw UsageError(std::string(option ? "unknown option" : "unknown command") + " \"" + printable(word) +
                   "\"" + (nearest.empty() ? "; see raybend --help" : "; did you mean \"" + nearest + "\"?"));
}

int run(const int argc, char **argv) {
  if (argc < 2) {
    std::cerr << "raybend: no command given; see raybend --help\n";
    return 2;
  }
  const std::string first = argv[1];
  if (first == "help" && argc > 2) {
    if (argc > 3)
      throw UsageError("one argument too many for help: \"" + printable(argv[3]) + "\"");
    require_command(argv[2]);
    std::cout << command_help(describe(argv[2]));
    return 0;
  }
  if (first == "--help" || first == "-h" || first == "help" || first == "--version") {
    if (argc > 2)
      throw UsageError("one argument too many: \"" + printable(argv[2]) + "\"");
    std::cout << (first == "--version" ? std::string("raybend ") + raybend_version + "\n" : general_help());
    return 0;
  }
  require_command(first);
  const Command command = describe(first);
  std::vector<std::string> arguments;
  const po::variables_map values = parse(command, std::vector<std::string>(argv + 2, argv + argc), arguments);
  if (values.count("help")) {
    std::cout << command_help(command);
    return 0;
  }
  if (first == "textbook")
    return textbook(command, values, arguments, argc, argv);
  if (first == "validate")
    return validate(command, values, arguments, argc, argv);
  if (first == "compare")
    return compare(command, values, arguments, argc, argv);
  if (first == "beam")
    return beam(command, values, arguments, argc, argv);
  if (first == "check") {
    const Case given = read_for(command, values, arguments);
    std::string forecast = mesh_forecast(given, ranks_to_start());
    while (!forecast.empty() && forecast.back() == '\n')
      forecast.pop_back();
    std::cout << check_report(given) << "\nCalculation\n  " << forecast << "\n";
    return 0;
  }
  if (arguments.empty()) {
    std::cout << explain_all();
    return 0;
  }
  std::string nearest;
  const std::string text = explain_one(arguments[0], nearest);
  if (text.empty())
    throw UsageError("nothing is named \"" + printable(arguments[0]) + "\"" +
                     (nearest.empty() ? "; see raybend explain" : "; did you mean " + nearest + "?"));
  std::cout << text;
  return 0;
}

void print_lines(const std::string &text) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);)
    std::cerr << "raybend: " << line << "\n";
}

} // namespace

int main(int argc, char **argv) {
  int status = 1;
  if (environment_rank() != 0) { // one voice for all ranks
    std::freopen("/dev/null", "w", stdout);
    std::freopen("/dev/null", "w", stderr);
  }
  try {
    status = run(argc, argv);
    std::cout.flush();
    if (!std::cout) {
      std::cerr << "raybend: cannot write the output\n";
      status = status == 0 ? 1 : status;
    }
  } catch (const CaseError &error) {
    print_lines(error.what());
    status = 2;
  } catch (const UsageError &error) {
    print_lines(error.what());
    status = 2;
  } catch (const std::logic_error &error) {
    print_lines(std::string("this is a fault of the program, please report it: ") + error.what());
    status = 1;
  } catch (const StoppedBySignal &error) {
    print_lines(error.what());
    end_by(error.signal);
  } catch (const std::exception &error) {
    print_lines(error.what());
    status = 1;
  }
  return status;
}
