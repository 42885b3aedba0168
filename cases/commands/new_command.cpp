// The command `raybend new`: a commented case from five measurements and a few choices, asked on a terminal or given as
// options.
#include "cases/catalogue/catalogue.hpp"
#include "cases/commands/command.hpp"
#include "cases/commands/new_case.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/words/words.hpp"
#include "postprocess/text/file_write.hpp"
#include <filesystem>
#include <iostream>
#include <unistd.h>

namespace raybend {

namespace {

/// The words of a question with what is allowed and what an empty line gives.
std::string asked(const NewCaseQuestion &question) {
  const CatalogueRow *row = find_catalogue_row(question.key);
  return question.words + (row && !row->choices.empty() ? " (" + list_text(row->choices) + ")" : "") +
         (question.otherwise.empty() ? "" : " [" + question.otherwise + "]") + ": ";
}

std::string answer_of(const NewCaseQuestion &question, const Request &request) {
  if (request.has(question.option)) {
    const std::string answer = request.text(question.option, "");
    if (const std::string fault = why_not(question, answer); !fault.empty())
      throw UsageError("--" + question.option + ": " + fault);
    return answer;
  }
  const bool asks = isatty(STDIN_FILENO) && isatty(STDERR_FILENO);
  if (!asks && !question.otherwise.empty())
    return question.otherwise;
  if (!asks)
    throw UsageError("--" + question.option + " is missing (" + question.words +
                     "), and there is no terminal to ask on");
  for (;;) {
    std::cerr << asked(question) << std::flush;
    std::string line;
    if (!std::getline(std::cin, line))
      throw UsageError("the questions were not answered; nothing is written");
    const std::string answer = trimmed(line).empty() ? question.otherwise : trimmed(line);
    const std::string fault = why_not(question, answer);
    if (fault.empty())
      return answer;
    std::cerr << "  " << fault << "\n";
  }
}

void refuse_present(const std::string &path) {
  std::error_code ignored;
  if (std::filesystem::exists(std::filesystem::symlink_status(path, ignored)))
    throw UsageError(path + " is there already; name another file");
}

int run(const Request &request) {
  const std::string path = request.arguments.empty() ? "case.toml" : request.arguments.front();
  refuse_present(path);
  std::vector<std::string> answers;
  for (const NewCaseQuestion &question : new_case_questions())
    answers.push_back(answer_of(question, request));
  const std::string text = new_case_text(answers);
  read_case_from_text(text, path); // what is written is a case
  refuse_present(path);
  write_file(path, text);
  std::cout << "Wrote " << path << ". Change in it what you know better, then:\n\n  raybend check " << path
            << "\n  raybend compare " << path << "\n";
  return 0;
}

std::vector<Option> options() {
  std::vector<Option> list;
  for (const NewCaseQuestion &q : new_case_questions())
    list.push_back({q.option, q.key == "designs" ? "LIST" : "VALUE",
                    q.words + (q.otherwise.empty() ? "" : " [" + q.otherwise + "]"), false});
  return list;
}

} // namespace

Command new_command() {
  return {"new",
          "new [CASE.toml] [options]",
          "write a commented case from five measurements and a few choices",
          "Asks the five measurements and a few choices on a terminal and writes a case with comments "
          "(case.toml where no "
          "name is given). What is given as an option is not asked; with all of them, or without a terminal, "
          "nothing is. "
          "Designs to begin with: flat, moulded, pad, pad-back, bar, relief, plate; the first one named is "
          "the reference.",
          options(),
          1,
          general_cautions(),
          run};
}

} // namespace raybend
