#include "tests/agreement/oracles.h"

#include <cmath>
#include <fstream>
#include <map>

#include "tests/support/shared_files.h"
#include "tests/support/small_traces.h"

namespace beatwitness::tests {

using nlohmann::json;

void Oracles::SetUp() {
    const auto path = sharedFile("oracles.json");
    if (!path) GTEST_SKIP() << "../shared is not here";
    all_ = json::parse(std::ifstream{*path});
}

const json& Oracles::expected(const std::string& id) const {
    for (const auto& one : all_.at("cases"))
        if (one.at("id") == id) return one.at("expected");
    throw std::runtime_error{"no oracle " + id};
}

const json& Oracles::edge(const std::string& id) const {
    for (const auto& one : all_.at("edge_cases"))
        if (one.at("id") == id) return one;
    throw std::runtime_error{"no edge case " + id};
}

trace::Pairs Oracles::pairs(const std::string& dataset, std::size_t reference, std::size_t test) const {
    std::vector<double> references, tests;
    for (const auto& row : all_.at("datasets").at(dataset).at("rows")) {
        references.push_back(row.at(reference));
        tests.push_back(row.at(test));
    }
    return pairsOf(references, tests);
}

std::vector<trace::Pairs> Oracles::sessionPairs(const std::string& dataset, std::size_t reference,
                                                std::size_t test) const {
    std::map<int, std::pair<std::vector<double>, std::vector<double>>> groups;
    for (const auto& row : all_.at("datasets").at(dataset).at("rows")) {
        auto& [references, tests] = groups[row.at(0).get<int>()];
        references.push_back(row.at(reference));
        tests.push_back(row.at(test));
    }
    std::vector<trace::Pairs> list;
    for (const auto& [session, columns] : groups)
        list.push_back(pairsOf(columns.first, columns.second));
    return list;
}

std::vector<agreement::SessionSums> Oracles::sessions(const std::string& dataset, std::size_t reference,
                                                      std::size_t test) const {
    std::vector<agreement::SessionSums> sums;
    for (const auto& one : sessionPairs(dataset, reference, test))
        sums.push_back(agreement::sumsOf(one));
    return sums;
}

void expectNear(double found, double expected, const std::string& what) {
    EXPECT_NEAR(found, expected, std::max(1e-10, 1e-8 * std::abs(expected))) << what;
}

void expectInterval(const agreement::Interval& found, const json& expected, const std::string& what) {
    expectNear(found.lower, expected.at(0), what + ", lower end");
    expectNear(found.upper, expected.at(1), what + ", upper end");
}

}  // namespace beatwitness::tests
