// A formula in a case file: numbers, names, the usual functions.
#include "cases/lab/formula.hpp"
#include "geometry/constants.hpp"
#include <algorithm>
#include <cctype>
#include <muParser.h>

namespace raybend {

namespace {

const char *functions[] = {"sin",  "cos",   "tan",   "asin",  "acos", "atan",  "atan2", "sinh", "cosh",
                           "tanh", "asinh", "acosh", "atanh", "log2", "log10", "log",   "ln",   "exp",
                           "sqrt", "sign",  "rint",  "abs",   "min",  "max",   "sum",   "avg",  "pi"};

[[noreturn]] void refuse(const std::string &text, const mu::Parser::exception_type &error) {
  FormulaError refused("\"" + text + "\" is no formula");
  const std::string token = error.GetToken();
  const std::string where = " at place " + std::to_string(error.GetPos() + 1) + " of \"" + text + "\"";
  switch (error.GetCode()) {
  case mu::ecUNASSIGNABLE_TOKEN: {
    const bool name =
        !token.empty() && (std::isalpha(static_cast<unsigned char>(token[0])) || token[0] == '_');
    const bool call =
        name && error.GetPos() >= 0 && text.substr(error.GetPos() + token.size()).rfind("(", 0) == 0;
    refused =
        FormulaError((name ? std::string(call ? "no function" : "nothing") + " is named \"" + token + "\""
                           : "\"" + token + "\" can not stand") +
                     where);
    if (name)
      refused.unknown = token;
    break;
  }
  case mu::ecUNEXPECTED_EOF:
  case mu::ecEMPTY_EXPRESSION:
    refused = FormulaError(text.empty() ? "the formula is empty" : "\"" + text + "\" ends too early");
    break;
  case mu::ecMISSING_PARENS:
    refused = FormulaError("a bracket is not closed in \"" + text + "\"");
    break;
  case mu::ecTOO_MANY_PARAMS:
  case mu::ecTOO_FEW_PARAMS:
    refused = FormulaError("wrong number of arguments" + where);
    break;
  default:
    refused = FormulaError((token.empty() ? "a fault" : "\"" + token + "\" can not stand") + where);
  }
  throw refused;
}

} // namespace

struct Formula::Parser {
  mu::Parser parser;
  std::vector<double> values;
  std::string text;
};

Formula::Formula(const std::string &text, const std::vector<std::string> &variables,
                 const std::map<std::string, double> &constants)
    : parser_(std::make_unique<Parser>()) {
  mu::Parser &p = parser_->parser;
  parser_->text = text;
  parser_->values.resize(variables.size());
  try {
    p.ClearConst(); // muParser's own _pi and _e
    p.DefineConst("pi", pi);
    for (const auto &[name, value] : constants)
      if (std::find(variables.begin(), variables.end(), name) == variables.end())
        p.DefineConst(name, value);
    for (std::size_t i = 0; i < variables.size(); ++i)
      p.DefineVar(variables[i], &parser_->values[i]);
    p.SetExpr(text);
    p.Eval();
    if (p.GetNumResults() != 1)
      throw FormulaError("one value is wanted, \"" + text + "\" gives " + std::to_string(p.GetNumResults()));
  } catch (const mu::Parser::exception_type &error) {
    refuse(text, error);
  }
}

Formula::~Formula() = default;
Formula::Formula(Formula &&) noexcept = default;

double Formula::operator()(const std::vector<double> &values) const {
  std::copy_n(values.begin(), parser_->values.size(), parser_->values.begin());
  try {
    return parser_->parser.Eval();
  } catch (const mu::Parser::exception_type &error) {
    refuse(parser_->text, error);
  }
}

double Formula::operator()(const double a, const double b, const double c) const {
  parser_->values[0] = a;
  parser_->values[1] = b;
  parser_->values[2] = c;
  try {
    return parser_->parser.Eval();
  } catch (const mu::Parser::exception_type &error) {
    refuse(parser_->text, error);
  }
}

bool Formula::reserved(const std::string &name) {
  return std::find(std::begin(functions), std::end(functions), name) != std::end(functions);
}

bool Formula::valid_name(const std::string &name) {
  return !name.empty() && !std::isdigit(static_cast<unsigned char>(name[0])) &&
         std::all_of(name.begin(), name.end(),
                     [](unsigned char c) { return c < 128 && (std::isalnum(c) || c == '_'); });
}

} // namespace raybend
