// Starts MPI, then Catch.
#define CATCH_CONFIG_RUNNER
#include <catch2/catch.hpp>
#include <cstdlib>
#include <deal.II/base/mpi.h>

int main(int argc, char **argv) {
  // As start_parallel() does, for this process alone: programs that the tests start say so themselves.
  const char *const no_folders = "OMPI_MCA_orte_create_session_dirs";
  setenv(no_folders, "0", 0);
  const dealii::Utilities::MPI::MPI_InitFinalize mpi(argc, argv, 1);
  unsetenv(no_folders);
  return Catch::Session().run(argc, argv);
}
