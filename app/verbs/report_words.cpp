#include "app/verbs/report_words.h"

#include <CLI/CLI.hpp>

namespace beatwitness::verbs {

void addReportOptions(CLI::App& verb, ReportArguments& report) {
    verb.add_option("--library", report.library, "the library")->required();
    verb.add_option("--project", report.project, "the project")->required();
    verb.add_option("--out", report.out, "the folder to write into; made where it is not there")->required();
}

}  // namespace beatwitness::verbs
