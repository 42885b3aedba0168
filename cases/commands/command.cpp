// Commands, their options and their help.
#include "cases/commands/command.hpp"
#include "cases/run/output_directory.hpp"
#include "cases/words/calculation_date.hpp"
#include "cases/words/words.hpp"
#include "geometry/cautions.hpp"
#include "geometry/version.hpp"
#include <algorithm>
#include <boost/program_options.hpp>
#include <csignal>
#include <iostream>
#include <sstream>

namespace po = boost::program_options;

namespace raybend {

const Option out_option = {"out", "DIR", "directory for the results (default: ./<case>-results)"};
const Option set_option = {
    "set", "KEY=VALUE",
    "change one value of the case; may be repeated. Lists count from 1: designs[1].fit=0.5, or by name: "
    "designs.moulded.fit=0.5",
    true};
const Option resolution_option = {"resolution", "WORD", "coarse, standard or fine (same as mesh.resolution)"};
const Option no_pictures_option = {"no-pictures", "", "write no pictures"};
const Option quiet_option = {"quiet", "", "print no progress"};

std::vector<std::string> general_cautions() {
  return {std::begin(cautions), std::end(cautions)};
}

namespace {

std::string cautions_words(const std::vector<std::string> &list) {
  std::string text = "\nCautions\n";
  for (const std::string &caution : list)
    text += "  * " + folded(caution, 92, 4) + "\n";
  return text;
}

std::string general_help(const std::vector<Command> &commands) {
  std::string text =
      "Raybend compares custom insole designs by what they leave in the bones of one forefoot.\n\n";
  for (const Command &c : commands)
    text += "  raybend " + padded(c.usage, 29) + " " + c.line + "\n";
  return text +
         "  raybend help COMMAND                  options of a command\n"
         "  raybend --version\n\n"
         "Exit status: 0 done; 1 the run failed; 2 the request is wrong.\n" +
         cautions_words(general_cautions());
}

po::options_description described(const Command &c) {
  po::options_description list("Options");
  for (const Option &o : c.options)
    if (o.value.empty())
      list.add_options()(o.name.c_str(), o.words.c_str());
    else if (o.repeated)
      list.add_options()(o.name.c_str(), po::value<std::vector<std::string>>()->value_name(o.value),
                         o.words.c_str());
    else
      list.add_options()(o.name.c_str(), po::value<std::string>()->value_name(o.value), o.words.c_str());
  list.add_options()("help,h", "this help");
  return list;
}

std::string command_help(const Command &c) {
  std::ostringstream text;
  text << "usage: raybend " << c.usage << "\n\n" << folded(c.words, 96, 0) << "\n\n" << described(c);
  return text.str() + cautions_words(c.cautions);
}

/// `typed`: with its dashes.
[[noreturn]] void unknown_option(const Command &c, std::string typed) {
  typed = typed.substr(0, typed.find('='));
  const std::string name = typed.substr(std::min(typed.find_first_not_of('-'), typed.size()));
  std::vector<std::string> known = {"help"};
  for (const Option &o : c.options)
    known.push_back(o.name);
  const std::string nearest = nearest_name(name, known);
  throw UsageError(
      "unknown option \"" + printable(typed) + "\" of " + c.name +
      (nearest.empty() ? "; see raybend " + c.name + " --help" : "; did you mean \"--" + nearest + "\"?"));
}

Request parse(const Command &c, std::vector<std::string> words) {
  const auto dashes = std::find(words.begin(), words.end(), "--"); // arguments alone follow
  const std::vector<std::string> plain(dashes == words.end() ? dashes : dashes + 1, words.end());
  words.erase(dashes, words.end());
  po::options_description all = described(c);
  all.add_options()("argument", po::value<std::vector<std::string>>());
  po::positional_options_description places;
  places.add("argument", -1);
  Request request;
  request.command = &c;
  try {
    po::variables_map values;
    const int style = po::command_line_style::unix_style & ~po::command_line_style::allow_guessing;
    po::store(po::command_line_parser(words).options(all).positional(places).style(style).run(), values);
    for (const auto &[name, value] : values)
      if (const auto *list = boost::any_cast<std::vector<std::string>>(&value.value()); name == "argument")
        request.arguments = *list;
      else if (list)
        for (const std::string &each : *list)
          request.options.emplace_back(name, each);
      else if (const auto *text = boost::any_cast<std::string>(&value.value()))
        request.options.emplace_back(name, *text);
      else
        request.options.emplace_back(name, "");
  } catch (const po::unknown_option &error) {
    unknown_option(c, error.get_option_name());
  } catch (const po::multiple_occurrences &error) {
    throw UsageError("option \"" + error.get_option_name() + "\" is given twice");
  } catch (const po::error &error) {
    throw UsageError(printable(error.what(), 200) + "; see raybend " + c.name + " --help");
  }
  for (const std::string &argument : request.arguments)
    if (argument.size() > 1 && argument[0] == '-' && argument.find('/') == std::string::npos)
      unknown_option(c, argument);
  request.arguments.insert(request.arguments.end(), plain.begin(), plain.end());
  if (!request.has("help") && request.arguments.size() > c.most_arguments)
    throw UsageError("one argument too many for " + c.name + ": \"" +
                     printable(request.arguments[c.most_arguments]) + "\"");
  return request;
}

const Command &named(const std::vector<Command> &commands, const std::string &word) {
  std::vector<std::string> names;
  for (const Command &c : commands) {
    if (c.name == word)
      return c;
    names.push_back(c.name);
  }
  const bool option = !word.empty() && word[0] == '-';
  const std::string nearest = option ? "" : nearest_name(word, names);
  throw UsageError(std::string(option ? "unknown option" : "unknown command") + " \"" + printable(word) +
                   "\"" + (nearest.empty() ? "; see raybend --help" : "; did you mean \"" + nearest + "\"?"));
}

} // namespace

bool Request::has(const std::string &name) const {
  return std::any_of(options.begin(), options.end(), [&](const auto &o) { return o.first == name; });
}

std::vector<std::string> Request::texts(const std::string &name) const {
  std::vector<std::string> values;
  for (const auto &[option, value] : options)
    if (option == name)
      values.push_back(value);
  return values;
}

std::string Request::text(const std::string &name, const std::string &otherwise) const {
  return has(name) ? texts(name).front() : otherwise;
}

std::optional<int> Request::number(const std::string &name, const int low, const int high) const {
  if (!has(name))
    return {};
  const std::string words = text(name, "");
  char *end = nullptr;
  const long value = std::strtol(words.c_str(), &end, 10);
  if (words.empty() || *end != '\0' || value < low || value > high)
    throw UsageError("--" + name + ": found " + printable(words) + "; allowed " + std::to_string(low) +
                     " to " + std::to_string(high));
  return static_cast<int>(value);
}

const std::string &Request::file(const std::string &what) const {
  if (arguments.empty())
    throw UsageError("no " + what + " named; usage: raybend " + command->usage);
  return arguments.front();
}

int run_command(const std::vector<Command> &commands, const std::vector<std::string> &words) {
  if (words.empty())
    throw UsageError("no command given; see raybend --help");
  const std::string &first = words.front();
  const auto at_most = [&](const std::size_t most, const std::string &of) {
    if (words.size() > most)
      throw UsageError("one argument too many" + of + ": \"" + printable(words[most]) + "\"");
  };
  if (first == "help" && words.size() > 1) {
    at_most(2, " for help");
    std::cout << command_help(named(commands, words[1]));
    return 0;
  }
  if (first == "--help" || first == "-h" || first == "help" || first == "--version") {
    at_most(1, "");
    std::cout << (first == "--version" ? std::string("raybend ") + raybend_version + "\n"
                                       : general_help(commands));
    return 0;
  }
  const Command &command = named(commands, first);
  Request request = parse(command, {words.begin() + 1, words.end()});
  request.words = words;
  if (!request.has("help"))
    return command.run(request);
  std::cout << command_help(command);
  return 0;
}

std::string out_folder(const Request &request, const std::string &stem) {
  const std::string out = request.text("out", "./" + stem + "-results");
  if (const std::string reason = why_not_writable(out); !reason.empty())
    throw UsageError(reason);
  return out;
}

std::string date_for_report() {
  try {
    return calculation_date();
  } catch (const std::runtime_error &error) {
    throw UsageError(error.what());
  }
}

void print_warnings(const std::vector<std::string> &warnings) {
  for (const std::string &warning : warnings)
    std::cerr << "raybend: warning: " << warning << "\n";
}

void keep_on_when_pipe_closes() {
  std::signal(SIGPIPE, SIG_IGN);
}

} // namespace raybend
