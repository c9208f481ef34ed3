#include "app/windows/layout_dialog.h"

#include <QComboBox>
#include <QDialogButtonBox>
#include <QFormLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSignalBlocker>
#include <QTableWidget>
#include <QVBoxLayout>
#include <array>

#include "app/document/session_words.h"
#include "app/windows/preview_lines.h"
#include "core/recording/digest.h"
#include "core/recording/file_bytes.h"
#include "core/trace/trace.h"
#include "widgets/inputs/labels.h"
#include "widgets/plots/trace_strip.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

struct Separator {
    const char* word;
    char mark;
};
constexpr std::array separators{Separator{QT_TRANSLATE_NOOP("LayoutDialog", "comma"), ','},
                                Separator{QT_TRANSLATE_NOOP("LayoutDialog", "semicolon"), ';'},
                                Separator{QT_TRANSLATE_NOOP("LayoutDialog", "tab"), '\t'},
                                Separator{QT_TRANSLATE_NOOP("LayoutDialog", "pipe"), '|'},
                                Separator{QT_TRANSLATE_NOOP("LayoutDialog", "space"), ' '}};

QComboBox* makeBox(const char* name, QWidget* parent) {
    auto* box = new QComboBox(parent);
    box->setObjectName(QString::fromLatin1(name));
    box->setMinimumHeight(box->fontMetrics().height() * 9 / 5);
    return box;
}

QString textOf(const std::string& text) {
    return QString::fromStdString(text);
}

}  // namespace

LayoutDialog::LayoutDialog(const std::filesystem::path& file, recording::ReadOptions options, QWidget* parent)
    : QDialog(parent),
      file_(file),
      asked_(std::move(options)),
      time_(makeBox("timeColumn", this)),
      rate_(makeBox("rateColumn", this)),
      separator_(makeBox("separator", this)),
      zone_(makeBox("zone", this)),
      table_(new QTableWidget(this)),
      outcome_(makeStrong({}, this)),
      details_(makeBody({}, this)),
      strip_(new TraceStrip(this)) {
    setObjectName(QStringLiteral("layoutDialog"));
    const QString name = textOf(file.filename().string());
    setWindowTitle(tr("Read %1 as").arg(name));
    outcome_->setObjectName(QStringLiteral("layoutOutcome"));
    table_->setObjectName(QStringLiteral("firstRows"));
    table_->setAccessibleName(tr("The first rows of %1").arg(name));
    table_->setEditTriggers(QAbstractItemView::NoEditTriggers);
    table_->setSelectionMode(QAbstractItemView::NoSelection);
    table_->verticalHeader()->hide();
    table_->setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Cancel, this);
    accept_ = buttons->addButton(tr("Read so"), QDialogButtonBox::AcceptRole);
    accept_->setObjectName(QStringLiteral("readSo"));
    accept_->setDefault(true);
    connect(buttons, &QDialogButtonBox::accepted, this, &QDialog::accept);
    connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    auto* column = new QVBoxLayout(this);
    const int margin = fontMetrics().height();
    column->setContentsMargins(margin, margin, margin, margin);
    column->setSpacing(margin / 2);
    column->addWidget(
        makeBody(tr("What is left at “as guessed” the reader settles by itself. The rows below are the "
                    "first of the file, parted as chosen."),
                 this));
    column->addWidget(makeForm());
    column->addWidget(table_, 3);
    column->addWidget(outcome_);
    column->addWidget(details_);
    column->addWidget(strip_, 2);
    column->addWidget(buttons);
    resize(fontMetrics().averageCharWidth() * 110, fontMetrics().height() * 34);
    runner_.run(
        tr("Reading %1 …").arg(name),
        [file](const RunControl& run) { return recording::fileBytes(file, run); },
        [this](const Result<std::vector<std::byte>>& bytes) { takeBytes(bytes); });
}

LayoutDialog::~LayoutDialog() {
    runner_.disconnect(this);
    runner_.cancel();
}

QWidget* LayoutDialog::makeForm() {
    auto* form = new QWidget(this);
    auto* grid = new QGridLayout(form);
    grid->setContentsMargins(0, 0, 0, 0);
    grid->setHorizontalSpacing(fontMetrics().averageCharWidth() * 2);
    const auto add = [&](const QString& text, QComboBox* box, int row, int column) {
        auto* label = new QLabel(text, form);
        label->setBuddy(box);
        box->setAccessibleName(QString(text).remove(QLatin1Char('&')));
        grid->addWidget(label, row, column);
        grid->addWidget(box, row, column + 1);
        grid->setColumnStretch(column + 1, 1);
    };
    add(tr("&Time column"), time_, 0, 0);
    add(tr("&Rate column"), rate_, 0, 2);
    add(tr("&Separator"), separator_, 1, 0);
    add(tr("&Zone"), zone_, 1, 2);
    separator_->addItem(tr("as guessed"));
    for (const auto& separator : separators)
        separator_->addItem(tr(separator.word), QChar::fromLatin1(separator.mark));
    if (asked_.separator) {
        const int at = separator_->findData(QChar::fromLatin1(*asked_.separator));
        if (at < 0)
            separator_->addItem(QString(QChar::fromLatin1(*asked_.separator)),
                                QChar::fromLatin1(*asked_.separator));
        separator_->setCurrentIndex(at < 0 ? separator_->count() - 1 : at);
    }
    zone_->setEditable(true);
    zone_->addItem(tr("as guessed"));
    zone_->addItem(QStringLiteral("UTC"));
    for (int hour = -12; hour <= 14; ++hour)
        if (hour != 0)
            zone_->addItem(QStringLiteral("%1%2:00")
                               .arg(hour < 0 ? QLatin1Char('-') : QLatin1Char('+'))
                               .arg(std::abs(hour), 2, 10, QLatin1Char('0')));
    zone_->setToolTip(
        tr("Of times written without one: UTC, an offset such as +02:00, or a name such as Europe/Paris"));
    if (asked_.zone) zone_->setCurrentText(textOf(*asked_.zone));
    for (auto* box : {time_, rate_})
        connect(box, &QComboBox::currentIndexChanged, this, &LayoutDialog::readAgain);
    connect(separator_, &QComboBox::currentIndexChanged, this, [this] {
        if (filling_) return;
        asked_ = options();
        asked_.timeColumn.reset();  // columns of another parting mean something else
        asked_.rateColumn.reset();
        fillColumns();
        readAgain();
    });
    connect(zone_, &QComboBox::currentTextChanged, this, &LayoutDialog::readAgain);
    return form;
}

void LayoutDialog::takeBytes(const Result<std::vector<std::byte>>& bytes) {
    if (!bytes) {
        showResult(Read{bytes.fault()});
        return;
    }
    bytes_ = std::make_shared<const std::vector<std::byte>>(*bytes);
    fillColumns();
    readAgain();
}

void LayoutDialog::fillColumns() {
    peek_ = recording::peekText(*bytes_, asked_.separator);
    filling_ = true;
    for (auto* box : {time_, rate_}) {
        box->clear();
        box->addItem(tr("as guessed"));
        if (!peek_) continue;
        for (std::size_t i = 0; i < peek_->columns.size(); ++i)
            box->addItem(tr("%1 (%2)").arg(textOf(peek_->columns[i])).arg(i + 1), QString::number(i + 1));
        const auto& wanted = box == time_ ? asked_.timeColumn : asked_.rateColumn;
        if (!wanted) continue;
        int at = box->findData(textOf(*wanted));
        for (std::size_t i = 0; at < 0 && i < peek_->columns.size(); ++i)
            if (textOf(peek_->columns[i]).compare(textOf(*wanted), Qt::CaseInsensitive) == 0)
                at = static_cast<int>(i) + 1;
        box->setCurrentIndex(std::max(at, 0));
    }
    filling_ = false;
    fillTable();
}

void LayoutDialog::fillTable() {
    table_->clear();
    table_->setVisible(peek_.has_value());
    if (!peek_) return;
    table_->setColumnCount(static_cast<int>(peek_->columns.size()));
    table_->setRowCount(static_cast<int>(peek_->rows.size()));
    QStringList names;
    for (const auto& name : peek_->columns)
        names << textOf(name);
    table_->setHorizontalHeaderLabels(names);
    for (int row = 0; row < table_->rowCount(); ++row)
        for (int column = 0; column < table_->columnCount(); ++column)
            table_->setItem(
                row, column,
                new QTableWidgetItem(
                    textOf(peek_->rows[static_cast<std::size_t>(row)][static_cast<std::size_t>(column)])));
    table_->resizeColumnsToContents();
}

recording::ReadOptions LayoutDialog::options() const {
    recording::ReadOptions options;
    if (const auto chosen = time_->currentData(); chosen.isValid())
        options.timeColumn = chosen.toString().toStdString();
    if (const auto chosen = rate_->currentData(); chosen.isValid())
        options.rateColumn = chosen.toString().toStdString();
    if (const auto chosen = separator_->currentData(); chosen.isValid())
        options.separator = chosen.toChar().toLatin1();
    const QString zone = zone_->currentText().trimmed();
    if (!zone.isEmpty() && zone != zone_->itemText(0)) options.zone = zone.toStdString();
    return options;
}

void LayoutDialog::readAgain() {
    if (filling_ || !bytes_) return;
    result_ = nullptr;
    accept_->setEnabled(false);
    runner_.run(
        tr("Reading …"),
        [bytes = bytes_, file = file_, options = options()](const RunControl& run) -> Read {
            auto read = recording::readRecording(*bytes, options, run);
            if (!read) return read.fault();
            return std::make_shared<const library::ReadFile>(
                library::ReadFile{{file.string(), recording::sha256(*bytes), std::move(*read)}, *bytes});
        },
        [this](const Read& read) { showResult(read); });
}

void LayoutDialog::showResult(const Read& read) {
    accept_->setEnabled(static_cast<bool>(read));
    if (!read) {
        outcome_->setText(tr("It cannot be read so"));
        details_->setText(textOf(sentence(read.fault())));
        strip_->setLines({}, {}, tr("Nothing to show"));
        return;
    }
    result_ = *read;
    const auto& file = result_->read;
    const auto summary = trace::summarise(file.recording);
    outcome_->setText(summary.span ? spanWords(file, summary) : tr("No valid heart rate (25 to 250 bpm)"));
    QStringList lines{recordingFacts(file, summary)};
    QStringList guesses;
    for (const auto& [what, value] : file.recording.guessed)
        guesses << QStringLiteral("%1: %2").arg(textOf(what), textOf(value));
    if (!guesses.isEmpty()) lines << tr("Guessed: %1").arg(guesses.join(QStringLiteral(", ")));
    for (const auto& warning : file.recording.warnings)
        lines << tr("Warning: %1").arg(textOf(warning));
    details_->setText(lines.join(QLatin1Char('\n')));
    const auto trace = std::make_shared<const trace::Trace<RecordingClock>>(trace::traceOf(file.recording));
    std::vector<DrawnLine> drawn;
    if (!trace->empty())
        drawn.push_back(
            previewLine(*trace, trace->span(), trace->times.front(), currentPalette().trace(0), 1.4));
    strip_->setLines(std::move(drawn), outcome_->text(), tr("Nothing to show"));
}

}  // namespace beatwitness::app
