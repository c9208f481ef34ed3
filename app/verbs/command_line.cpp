#include "app/verbs/command_line.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <cmath>
#include <ostream>
#include <sstream>

#include "app/verbs/share_verb.h"
#include "core/foundation/text.h"
#include "core/foundation/version.h"

namespace beatwitness::verbs {
namespace {

/// An offset beyond three years is a slip of the hand, and session times would lose their microseconds.
constexpr double largestOffset_s = 1e8;

struct ReadWords {
    std::string timeColumn, rateColumn, separator, zone;

    void addTo(CLI::App& verb) {
        verb.add_option("--time-column", timeColumn, "header word or number of the column with the times");
        verb.add_option("--rate-column", rateColumn,
                        "header word or number of the column with the heart rate");
        verb.add_option("--separator", separator,
                        "comma, semicolon, tab, pipe, space, or the character itself");
        verb.add_option("--zone", zone, "zone of times written without one: UTC or an offset such as +02:00");
    }

    [[nodiscard]] Result<recording::ReadOptions> options() const {
        recording::ReadOptions options;
        if (!timeColumn.empty()) options.timeColumn = timeColumn;
        if (!rateColumn.empty()) options.rateColumn = rateColumn;
        if (!zone.empty()) options.zone = zone;
        if (separator.empty()) return options;
        constexpr std::array<std::pair<std::string_view, char>, 6> named{{{"comma", ','},
                                                                          {"semicolon", ';'},
                                                                          {"tab", '\t'},
                                                                          {"\\t", '\t'},
                                                                          {"pipe", '|'},
                                                                          {"space", ' '}}};
        const auto found = std::ranges::find(named, std::string_view{separator},
                                             [](const auto& pair) { return pair.first; });
        if (found != named.end())
            options.separator = found->second;
        else if (separator.size() == 1)
            options.separator = separator[0];
        else
            return Fault{FaultCode::WrongUsage,
                         "--separator takes comma, semicolon, tab, pipe, space or one character, not \"" +
                             separator + "\"",
                         {},
                         {},
                         {}};
        return options;
    }
};

Fault wrongUsage(std::string message) {
    return {FaultCode::WrongUsage, std::move(message), {}, {}, {}};
}

Result<analysis::Request> requestOf(const std::string& align, const CLI::Option& offsetOption,
                                    double offset_s, const std::string& referenceFaults) {
    analysis::Request request;
    request.excludeReferenceFaults = referenceFaults == "exclude";
    request.align = align == "none"     ? alignment::Method::None
                    : align == "offset" ? alignment::Method::Offset
                                        : alignment::Method::Auto;
    const bool given = offsetOption.count() > 0;
    if (request.align == alignment::Method::Offset && !given)
        return wrongUsage("--align offset needs --offset SECONDS, what to add to the test clock");
    if (request.align != alignment::Method::Offset && given)
        return wrongUsage("--offset is only for --align offset");
    if (!std::isfinite(offset_s) || std::abs(offset_s) > largestOffset_s)
        return wrongUsage("--offset takes seconds between -1e8 and 1e8");
    request.offset = Seconds{offset_s};
    return request;
}

void addOptions(CLI::App& verb, AddArguments& add) {
    verb.add_option("--library", add.library, "the library; made where it is not there")->required();
    verb.add_option("--manifest", add.manifest, "beatwitness.manifest/1: any number of sessions");
    verb.add_option("--session", add.session, "name of the session");
    verb.add_option("--activity", add.activity, "what was done, e.g. rowing ergometer");
    verb.add_option("--reference", add.references,
                    "DEVICE=FILE of the reference; a further one is never scored as a device");
    verb.add_option("--test", add.tests, "DEVICE=FILE of a test device; may be repeated");
    verb.add_option("--project", add.project, "project that the sessions join");
    verb.add_flag("--json", add.json, "print beatwitness.add/1");
}

/// `--by device,activity`: words of the contract, in the order asked.
Result<std::vector<evaluation::GroupKey>> groupKeys(const std::string& by) {
    using evaluation::GroupKey;
    constexpr std::array all{GroupKey::Device, GroupKey::Activity, GroupKey::Session, GroupKey::Range,
                             GroupKey::Phase,  GroupKey::Wearer,   GroupKey::Firmware};
    std::vector<GroupKey> keys;
    std::istringstream words{by};
    for (std::string word; std::getline(words, word, ',');) {
        const auto found = std::ranges::find(all, word, evaluation::groupKeyName);
        if (found == all.end())
            return wrongUsage(
                "--by takes device, activity, session, range, phase, wearer and firmware with commas "
                "between, not "
                "\"" +
                word + "\"");
        if (std::ranges::find(keys, *found) == keys.end()) keys.push_back(*found);
    }
    return keys;
}

/// Words of `agreement` that become a question.
struct QuestionWords {
    std::string by = "device,activity", referenceFaults = "exclude", against = "reference", robustness;
    std::vector<std::string> compare;
    double margin_bpm = 0.0;
    CLI::Option* margin = nullptr;
    std::vector<double> expected;  ///< value and spread

    /// The words as part of `question`, or what is wrong with them.
    [[nodiscard]] std::optional<Fault> putInto(evaluation::Question& question) const;
};

/// `A,B`: exactly one comma, something on either side.
Result<evaluation::ComparedPair> comparedPair(const std::string& word) {
    const auto comma = word.find(',');
    if (comma == std::string::npos || comma == 0 || comma + 1 == word.size() ||
        word.find(',', comma + 1) != std::string::npos)
        return wrongUsage("--compare takes two devices with one comma between, A,B, not \"" +
                          printable(word) + "\"");
    return evaluation::ComparedPair{word.substr(0, comma), word.substr(comma + 1)};
}

std::optional<Fault> QuestionWords::putInto(evaluation::Question& question) const {
    auto keys = groupKeys(by);
    if (!keys) return keys.fault();
    question.by = std::move(*keys);
    question.excludeReferenceFaults = referenceFaults == "exclude";
    question.against = against == "mean" ? evaluation::Against::Mean : evaluation::Against::Reference;
    for (const auto& word : compare) {
        auto pair = comparedPair(word);
        if (!pair) return pair.fault();
        question.compare.push_back(std::move(*pair));
    }
    if (margin->count() > 0) {
        if (!std::isfinite(margin_bpm) || margin_bpm <= 0)
            return wrongUsage("--margin takes beats per minute above 0");
        question.margin_bpm = margin_bpm;
    }
    if (robustness.empty()) return std::nullopt;
    const auto* facts = agreement::metricOfKey(robustness);
    if (facts == nullptr)
        return wrongUsage("--robustness takes a metric such as mae_bpm, not \"" + printable(robustness) +
                          "\"");
    question.robustness = facts->metric;
    return std::nullopt;
}

void agreementOptions(CLI::App& verb, AgreementArguments& agreement, QuestionWords& words) {
    verb.add_option("--library", agreement.library, "the library")->required();
    verb.add_option("--project", agreement.question.project, "the project")->required();
    verb.add_option("--device", agreement.question.devices, "only this test device; may be repeated");
    verb.add_option("--activity", agreement.question.activities, "only this activity; may be repeated");
    verb.add_option("--by", words.by,
                    "what to group by: device,activity,session,range,phase,wearer,firmware");
    verb.add_option("--phase", agreement.question.phases,
                    "only seconds inside phases of this label or kind; may be repeated");
    verb.add_option("--epoch", agreement.question.epoch_s, "seconds averaged before comparing: 1 to 60")
        ->check(CLI::Range(1, 60));
    verb.add_option("--against", words.against,
                    "what by-magnitude limits hold the error against: reference or mean (of both)")
        ->check(CLI::IsMember({"reference", "mean"}));
    verb.add_option("--reference-faults", words.referenceFaults, "exclude or keep")
        ->check(CLI::IsMember({"exclude", "keep"}));
    verb.add_option(
        "--compare", words.compare,
        "two devices, A,B: a minus b; may be repeated; \"band firmware 2.5\" and \"band in 2031\" name "
        "a part of a device");
    words.margin = verb.add_option("--margin", words.margin_bpm,
                                   "margin in bpm, set beforehand, within which means count as equivalent");
    verb.add_option("--criteria", agreement.criteria,
                    "beatwitness.criteria/1: what was required; else what the project has stored");
    verb.add_option(
        "--robustness", words.robustness,
        "a metric such as mae_bpm, under every clock, epoch and choice, and without each session");
    auto* plan = verb.add_flag("--plan", agreement.plan,
                               "print the plan alone: question, planned matrix, criteria, digest");
    verb.add_option("--expect", words.expected,
                    "with --plan: value and spread between sessions that are assumed, for the sessions that "
                    "each criterion will take")
        ->expected(2)
        ->needs(plan);
    verb.add_option("--freeze", agreement.freeze, "keep the answer as an edition of this name");
    verb.add_option("--edition", agreement.edition,
                    "ask an edition's question again and say what changed since, number by number");
    auto* json = verb.add_flag("--json", agreement.json, "print beatwitness.agreement/1");
    verb.add_flag("--csv", agreement.csv, "print a table, a row a group, clock and weighting")
        ->excludes(json);
}

/// One session by words, or a manifest.
std::optional<Fault> addUsage(const AddArguments& add) {
    const bool hasWords =
        !add.session.empty() || !add.activity.empty() || !add.references.empty() || !add.tests.empty();
    if (!add.manifest.empty() && hasWords)
        return wrongUsage(
            "add takes either --manifest, or --session, --activity, --reference and --test, not both");
    if (add.manifest.empty() && (add.session.empty() || add.activity.empty() || add.references.empty()))
        return wrongUsage(
            "add needs --session NAME, --activity NAME, --reference DEVICE=FILE and --test DEVICE=FILE, or "
            "--manifest FILE.json");
    if (add.manifest.empty() && add.tests.empty())
        return wrongUsage("add needs --test DEVICE=FILE; an attempt without a file goes into a manifest");
    return std::nullopt;
}

/// What CLI11 throws, as one of our sentences or, for --help and --version, as text on `out`.
ExitCode parseEnded(const CLI::App& app, const CLI::ParseError& error, bool json, const Streams& streams) {
    if (error.get_exit_code() == 0) {
        app.exit(error, streams.out, streams.err);
        return ExitCode::Done;
    }
    return reportFault(
        wrongUsage(std::string{error.what()} + " (beatwitness --help lists the verbs and options)"), json,
        streams);
}

}  // namespace

bool isVerb(const std::string& word) {
    constexpr std::array<std::string_view, 10> words{
        "inspect", "analyse", "add", "agreement", "figure", "share", "report", "--help", "-h", "--version"};
    return std::ranges::find(words, word) != words.end();
}

ExitCode runCommandLine(std::span<const std::string> words, const Streams& streams, const DrawFigure& draw,
                        const WriteReport& write) {
    const bool json = std::ranges::find(words, "--json") != words.end();
    if (!words.empty() && !words.front().starts_with('-') && !isVerb(words.front()))
        return reportFault(
            wrongUsage("\"" + printable(words.front()) +
                       "\" is neither a verb nor a file that is there (beatwitness --help lists the verbs)"),
            json, streams);
    CLI::App app{
        "Beatwitness: how well wearables measure heart rate. Started bare, or with recordings to open, it "
        "opens "
        "the workstation; with a verb it works without a window."};
    app.name("beatwitness");
    app.set_version_flag("--version", std::string{programVersion()});
    app.footer(
        "Without a verb the window opens: beatwitness [FILE...], or with roles --reference FILE --test FILE "
        "[--context FILE].\nA picture of it: --shot OUT.png [--size 1366x768] [--theme light|dark] [--page "
        "session|agreement|compare|figures] [--aligned|--as-recorded] [--cursor SECONDS].\nNot a medical device; not "
        "for "
        "diagnosis, nor "
        "for pacing anyone at risk.");
    app.require_subcommand(1);

    InspectArguments inspect;
    ReadWords inspectRead;
    auto* inspectVerb = app.add_subcommand("inspect", "say what each recording holds");
    inspectVerb->add_option("FILE", inspect.files, "recordings")->required();
    inspectVerb->add_flag("--json", inspect.json, "print beatwitness.inspect/1");
    inspectRead.addTo(*inspectVerb);

    AnalyseArguments analyse;
    ReadWords analyseRead;
    std::string align = "auto", referenceFaults = "exclude";
    double offset_s = 0.0;
    auto* analyseVerb =
        app.add_subcommand("analyse", "read, align, flag and score a recording pair; stores nothing");
    analyseVerb->add_option("--reference", analyse.reference, "recording of the reference")->required();
    analyseVerb->add_option("--test", analyse.tests, "recording of a test device; may be repeated")
        ->required();
    analyseVerb->add_option("--context", analyse.contexts,
                            "recording with channels such as cadence; may be repeated");
    analyseVerb->add_option("--align", align, "auto, offset or none")
        ->check(CLI::IsMember({"auto", "offset", "none"}));
    auto* offsetOption = analyseVerb->add_option("--offset", offset_s, "seconds to add to the test clock");
    analyseVerb->add_option("--reference-faults", referenceFaults, "exclude or keep")
        ->check(CLI::IsMember({"exclude", "keep"}));
    analyseVerb->add_flag("--json", analyse.json, "print beatwitness.analysis/1");
    analyseRead.addTo(*analyseVerb);

    AddArguments add;
    ReadWords addRead;
    auto* addVerb = app.add_subcommand("add", "store sessions in a library, recordings included");
    addOptions(*addVerb, add);
    addRead.addTo(*addVerb);

    AgreementArguments agreement;
    QuestionWords question;
    auto* agreementVerb = app.add_subcommand(
        "agreement", "pool the sessions of a project, with intervals that respect sessions");
    agreementOptions(*agreementVerb, agreement, question);

    FigureWords figureWords;
    auto* figureVerb = app.add_subcommand("figure", "draw one figure of a project into a PNG, SVG or PDF");
    figureWords.addTo(*figureVerb);

    ReportArguments report;
    auto* reportVerb = app.add_subcommand(
        "report", "write the whole write-up of a project: HTML, Markdown, figures, tables");
    addReportOptions(*reportVerb, report);

    ShareArguments share;
    auto* shareVerb = app.add_subcommand("share", "write tables, pairs, a library or a bundle for others");
    addShareOptions(*shareVerb, share);

    try {
        std::vector<std::string> reversed(words.rbegin(), words.rend());
        app.parse(reversed);
    } catch (const CLI::ParseError& error) {
        return parseEnded(app, error, json, streams);
    }

    if (figureVerb->parsed()) {
        const auto figure = figureWords.arguments();
        if (!figure) return reportFault(figure.fault(), json, streams);
        if (!draw)
            return reportFault(wrongUsage("this program was built without a window and cannot draw figures"),
                               json, streams);
        return draw(*figure, streams);
    }
    if (shareVerb->parsed()) return shareProject(share, streams);
    if (reportVerb->parsed()) {
        if (!write)
            return reportFault(
                wrongUsage("this program was built without a window and cannot draw a write-up's figures"),
                json, streams);
        return write(report, streams);
    }
    if (agreementVerb->parsed()) {
        if (const auto fault = question.putInto(agreement.question))
            return reportFault(*fault, json, streams);
        if (question.expected.size() == 2)
            agreement.expectation = agreement::Expectation{question.expected[0], question.expected[1]};
        return projectAgreement(agreement, streams);
    }
    const auto read = (inspectVerb->parsed() ? inspectRead
                       : addVerb->parsed()   ? addRead
                                             : analyseRead)
                          .options();
    if (!read) return reportFault(read.fault(), json, streams);
    if (inspectVerb->parsed()) {
        inspect.read = *read;
        return inspectFiles(inspect, streams);
    }
    if (addVerb->parsed()) {
        if (const auto fault = addUsage(add)) return reportFault(*fault, json, streams);
        add.read = *read;
        return addSessions(add, streams);
    }
    const auto request = requestOf(align, *offsetOption, offset_s, referenceFaults);
    if (!request) return reportFault(request.fault(), json, streams);
    analyse.request = *request;
    analyse.read = *read;
    return analysePair(analyse, streams);
}

}  // namespace beatwitness::verbs
