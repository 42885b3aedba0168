// A new case from five measurements and a few choices: its questions and its text.
#include "cases/commands/new_case.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>
#include <sstream>

namespace raybend {

namespace {

/// Designs that a new case may begin with, in the order of the file; layers and support elements of the ready cases.
struct Start {
  std::string name, title, remark, text;
};

const std::vector<Start> &starts() {
  static const std::string pad =
      "[[designs.support]]\nkind = \"pad\"\nlength_mm = 38\nwidth_mm = 38\nheight_mm = 6\n";
  static const std::vector<Start> list = {
      {"flat", "Flat cushion", "What the shoe comes with: flat and soft; the others are compared with it.",
       "fit = 0\n\n[[designs.layers]]\nrole = \"base\"\nthickness_mm = 5\nmaterial = \"medium-pe-foam\"\n"},
      {"moulded", "Moulded, no support element",
       "Cast to the foot, nothing added: what total contact alone does.",
       "fit = 1                 # 0 flat, 1 total contact\n"},
      {"pad", "Moulded with a pad",
       "A teardrop pad under the painful ray, its front edge 8 mm behind the head.",
       "fit = 1\n\n" + pad + "behind_heads_mm = 8\nmaterial = \"eva-35\"\n"},
      {"pad-back", "Moulded with the pad 10 mm further back",
       "The same pad further back: how much does its place matter?",
       "fit = 1\n\n" + pad + "behind_heads_mm = 18\nmaterial = \"eva-35\"\n"},
      {"bar", "Moulded with a bar", "A bar across all rays, long proximal bevel, short distal one.",
       "fit = 1\n\n[[designs.support]]\nkind = \"bar\"\nheight_mm = 6\nlength_mm = 8           # flat crest "
       "between the "
       "bevels\nproximal_bevel_mm = 25\ndistal_bevel_mm = 10\nbehind_heads_mm = 5\nmaterial = \"eva-35\"\n"},
      {"relief", "Moulded with a hollow under the head",
       "A hollow under the painful head; its neighbours carry more.",
       "fit = 1\n\n[[designs.support]]\nkind = \"relief\"\ndepth_mm = 3\nradius_mm = 12\n"},
      {"plate", "Flat with a stiff plate",
       "A carbon plate under the base: it keeps the forefoot from bending.",
       "fit = 0\n\n[[designs.layers]]\nrole = \"plate\"\nthickness_mm = 1\nmaterial = \"carbon-plate\"\n"}};
  return list;
}

std::vector<std::string> start_names() {
  std::vector<std::string> names;
  for (const Start &s : starts())
    names.push_back(s.name);
  return names;
}

std::vector<std::string> split(const std::string &text) {
  std::vector<std::string> words;
  std::istringstream in(text);
  for (std::string word; std::getline(in, word, ',');)
    words.push_back(trimmed(word));
  return words;
}

std::string not_one_of(const std::string &found, const std::vector<std::string> &names) {
  const std::string nearest = nearest_name(found, names);
  return "found \"" + printable(found) + "\"; allowed " + list_text(names) +
         (nearest.empty() ? "" : "; did you mean \"" + nearest + "\"?");
}

} // namespace

const std::vector<NewCaseQuestion> &new_case_questions() {
  static const std::vector<NewCaseQuestion> list = {
      {"body-mass", "patient.body_mass_kg", "Body mass, kg", ""},
      {"foot-length", "patient.foot_length_mm", "Foot length, heel to longest toe, mm", ""},
      {"side", "patient.side", "Side", ""},
      {"sex", "patient.sex", "Sex", ""},
      {"painful-ray", "patient.painful_ray", "Painful ray, 1 (big toe) to 5", ""},
      {"activity", "activity.kind", "Activity", "walking"},
      {"shoe", "shoe.kind", "Shoe", "light"},
      {"designs", "designs", "Designs, with commas between them", "flat,moulded,pad,bar"}};
  return list;
}

std::string why_not(const NewCaseQuestion &question, const std::string &answer) {
  if (question.key == "designs") {
    const std::vector<std::string> chosen = split(answer);
    for (std::size_t i = 0; i < chosen.size(); ++i) {
      if (const auto names = start_names(); std::find(names.begin(), names.end(), chosen[i]) == names.end())
        return not_one_of(chosen[i], names);
      if (std::find(chosen.begin(), chosen.begin() + static_cast<std::ptrdiff_t>(i), chosen[i]) !=
          chosen.begin() + static_cast<std::ptrdiff_t>(i))
        return "\"" + chosen[i] + "\" stands twice";
    }
    return chosen.size() < 2 ? "a comparison needs two designs or more of " + list_text(start_names()) : "";
  }
  const CatalogueRow &row = catalogue_row(question.key);
  if (row.type == KeyType::number || row.type == KeyType::integer) {
    char *end = nullptr;
    const double x = std::strtod(answer.c_str(), &end);
    const bool number = !answer.empty() && *end == '\0' && std::isfinite(x) &&
                        answer.find_first_not_of("0123456789.") == std::string::npos;
    if (number && row.allowed.holds(x) && (row.type == KeyType::number || x == std::floor(x)))
      return "";
    return "found \"" + printable(answer) + "\"; allowed " + row.allowed_words();
  }
  return std::find(row.choices.begin(), row.choices.end(), answer) != row.choices.end()
             ? ""
             : not_one_of(answer, row.choices);
}

std::string new_case_text(const std::vector<std::string> &answers) {
  std::map<std::string, std::string> given;
  for (std::size_t i = 0; i < answers.size(); ++i)
    given[new_case_questions()[i].option] = answers[i];
  const std::vector<std::string> chosen = split(given["designs"]);
  const bool runs = given["activity"] == "running";
  std::string text =
      "# Lengths mm, masses kg, angles degree, moduli MPa: the unit ends each key's name.\n"
      "# raybend explain KEY says what a key means and where its default comes from; raybend check shows the "
      "case as it\n"
      "# will be calculated.\n\n"
      "title = \"Ray " +
      given["painful-ray"] + ", " + given["activity"] +
      "\"\n"
      "question = \"Which insole lets metatarsal " +
      given["painful-ray"] +
      " bend least, and where does the load go instead?\"\n"
      "note = \"\"               # what else belongs into the file; no name is needed\n"
      "reference = \"" +
      chosen.front() +
      "\"\n\n"
      "# Five measurements; everything else follows from them until it is measured (raybend explain "
      "patient).\n"
      "[patient]\n"
      "body_mass_kg = " +
      given["body-mass"] + "\nfoot_length_mm = " + given["foot-length"] + "\nside = \"" + given["side"] +
      "\"\nsex = \"" + given["sex"] + "\"\npainful_ray = " + given["painful-ray"] +
      "\n\n"
      "[activity]\nkind = \"" +
      given["activity"] +
      "\"     # raybend explain activities\n"
      "# steps_per_hour and hours_per_day count in a day of several activities, each an [[activity]]\n\n"
      "[shoe]\nkind = \"" +
      given["shoe"] +
      "\"          # raybend explain shoe.kind\n\n"
      "# The layers of all designs from the ground up; a design's own [[designs.layers]] counts instead of "
      "the one with its\n"
      "# role, and like = \"NAME\" takes all of another design.\n";
  const auto layer = [&text](const std::string &role, const std::string &thickness,
                             const std::string &material) {
    text += "[[layers]]\nrole = \"" + role + "\"\nthickness_mm = " + thickness + "\nmaterial = \"" +
            material + "\"\n\n";
  };
  layer("sole", runs ? "12" : "8", runs ? "midsole-eva" : "rubber-sole");
  layer("base", "5", "eva-35");
  layer("cover", "3", "medium-pe-foam");
  for (const Start &s : starts())
    if (std::find(chosen.begin(), chosen.end(), s.name) != chosen.end())
      text += "# " + s.remark + "\n[[designs]]\nname = \"" + s.name + "\"\ntitle = \"" + s.title + "\"\n" +
              s.text + "\n";
  text.pop_back();
  return text;
}

} // namespace raybend
