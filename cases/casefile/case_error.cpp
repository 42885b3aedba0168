// Faults of a case file and their messages.
#include "cases/casefile/case_error.hpp"
#include "cases/words/words.hpp"
#include <algorithm>

namespace raybend {

namespace {

constexpr std::size_t most_told = 50;

std::string joined(const std::vector<Fault> &faults) {
  std::string all;
  for (std::size_t i = 0; i < std::min(faults.size(), most_told); ++i)
    all += (all.empty() ? "" : "\n") + faults[i].message();
  if (faults.size() > most_told)
    all += "\nand " + std::to_string(faults.size() - most_told) + " more faults";
  return all;
}

} // namespace

std::string Fault::message() const {
  std::string head = file;
  if (from_set)
    head += ": --set";
  else if (line > 0)
    head += ":" + std::to_string(line);
  if (!key.empty())
    head += ": " + key;

  std::string body;
  const auto add = [&body](const std::string &part) { body += (body.empty() ? "" : "; ") + part; };
  if (!problem.empty())
    add(problem);
  if (!found.empty())
    add("found " + found);
  if (!allowed.empty())
    add("allowed " + allowed);
  if (!hint.empty())
    add(hint);
  if (!nearest.empty())
    add("did you mean \"" + nearest + "\"?");
  return head + ": " + body + excerpt;
}

void Fault::point_at(const std::string &text, const int character) {
  constexpr int shown = 100; // characters
  std::string line = text;
  std::replace(line.begin(), line.end(), '\t', ' ');
  excerpt = "\n    " + printable(line, shown);
  if (character > 0 && character <= shown)
    excerpt += "\n    " + std::string(character - 1, ' ') + "^";
}

void Fault::propose(const std::vector<std::string> &names) {
  if (names.size() == 1)
    nearest = names.front();
  else if (!names.empty())
    hint = "did you mean " + choice_text(names) + "?";
}

CaseError::CaseError(std::vector<Fault> faults)
    : std::runtime_error(joined(faults)), list(std::move(faults)) {}

CaseError other_file(const std::string &path, const std::string &is, const std::string &wanted,
                     const std::string &command) {
  Fault f;
  f.file = path;
  f.problem = "is a " + is + ", not a " + wanted + ": use raybend " + command + " " + printable(path, 200);
  return CaseError({f});
}

} // namespace raybend
