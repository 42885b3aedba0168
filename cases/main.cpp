// The program `raybend`: the commands it has, and what becomes of an error.
// 0 done; 1 the run failed; 2 the request is wrong.
#include "cases/casefile/case_error.hpp"
#include "cases/commands/command.hpp"
#include "cases/run/handled_signals.hpp"
#include "cases/run/ranks.hpp"
#include <cstdio>
#include <cstring>
#include <iostream>
#include <sstream>

using namespace raybend;

namespace {

void print_lines(const std::string &text) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);)
    std::cerr << "raybend: " << line << "\n";
}

/// deal.II reads this variable while it is loaded, before anything here could catch what it throws at a value that is
/// no number. A process of this program takes one thread whatever it says, so that it is dropped before.
void forget_threads(int, char **, char **environment) {
  char **kept = environment;
  for (char **e = environment; *e; ++e)
    if (std::strncmp(*e, "DEAL_II_NUM_THREADS=", 20) != 0)
      *kept++ = *e;
  *kept = nullptr;
}

int run(const std::vector<std::string> &words) {
  const int status = run_command({new_command(), compare_command(), check_command(), explain_command(),
                                  study_command(), best_command(),
#ifdef RAYBEND_LAB
                                  textbook_command(), validate_command(), beam_command()
#endif
                                 },
                                 words);
  std::cout.flush();
  if (std::cout)
    return status;
  std::cerr << "raybend: cannot write the output\n";
  return status == 0 ? 1 : status;
}

} // namespace

// Of the program itself these functions run before the libraries' own.
__attribute__((section(".preinit_array"), used)) void (*const before_libraries)(int, char **,
                                                                                char **) = forget_threads;

int main(int argc, char **argv) {
  if (environment_rank() != 0) { // one voice for all ranks
    std::freopen("/dev/null", "w", stdout);
    std::freopen("/dev/null", "w", stderr);
  }
  try {
    return run({argv + (argc > 0 ? 1 : 0), argv + argc});
  } catch (const CaseError &error) {
    print_lines(error.what());
    return 2;
  } catch (const UsageError &error) {
    print_lines(error.what());
    return 2;
  } catch (const std::logic_error &error) {
    print_lines(std::string("this is a fault of the program, please report it: ") + error.what());
  } catch (const StoppedBySignal &error) {
    print_lines(error.what());
    end_by(error.signal);
  } catch (const std::exception &error) {
    print_lines(error.what());
  }
  return 1;
}
