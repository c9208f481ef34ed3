#include "app/windows/role_dialog.h"

#include <QComboBox>
#include <QDialogButtonBox>
#include <QGridLayout>
#include <QLabel>
#include <QPushButton>
#include <QScrollArea>
#include <QSignalBlocker>
#include <algorithm>

#include "app/document/session_words.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

QString roleName(Role role) {
    switch (role) {
        case Role::Reference:
            return RoleDialog::tr("Reference");
        case Role::Test:
            return RoleDialog::tr("Test");
        case Role::Context:
            return RoleDialog::tr("Context");
        case Role::LeftOut:
            return RoleDialog::tr("Leave out");
    }
    return {};
}

std::vector<Role> rolesFor(const Candidate& candidate) {
    if (candidate.hasHeartRate()) return {Role::Reference, Role::Test, Role::Context, Role::LeftOut};
    return {Role::Context, Role::LeftOut};
}

QString channelWords(const recording::Recording& recording) {
    QStringList names;
    for (const auto& channel : recording.channels) {
        const auto name = recording::channelName(channel.kind);
        names << QString::fromUtf8(name.data(), static_cast<qsizetype>(name.size()))
                     .replace(QLatin1Char('_'), QLatin1Char(' '));
    }
    return names.join(QStringLiteral(", "));
}

}  // namespace

RoleDialog::RoleDialog(std::vector<Candidate> candidates, const std::vector<Role>& roles, QWidget* parent)
    : QDialog(parent), candidates_(std::move(candidates)), judgement_(makeBody({}, this)) {
    setObjectName(QStringLiteral("roleDialog"));
    setWindowTitle(tr("What is compared with what"));
    auto* rows = new QWidget(this);
    auto* grid = new QGridLayout(rows);
    grid->setColumnStretch(1, 1);
    grid->setHorizontalSpacing(16);
    grid->setVerticalSpacing(10);
    for (std::size_t i = 0; i < candidates_.size(); ++i)
        addRow(i, *grid);
    grid->setRowStretch(static_cast<int>(candidates_.size()), 1);
    auto* scroll = new QScrollArea(this);
    scroll->setWidgetResizable(true);
    scroll->setFrameShape(QFrame::NoFrame);
    scroll->setWidget(rows);

    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Cancel, this);
    compare_ = buttons->addButton(tr("Compare"), QDialogButtonBox::AcceptRole);
    compare_->setObjectName(QStringLiteral("compareButton"));
    compare_->setDefault(true);
    connect(buttons, &QDialogButtonBox::accepted, this, &QDialog::accept);
    connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(18, 16, 18, 14);
    column->addWidget(makeBody(
        tr("One recording is the reference; every test is compared with it. The proposal goes by the "
           "names and by which trace is steadier and more complete; what does not meet it in time is left "
           "out where there is something that does."),
        this));
    column->addWidget(scroll, 1);
    column->addWidget(judgement_);
    column->addWidget(buttons);
    for (std::size_t i = 0; i < candidates_.size(); ++i)
        setRole(i, roles[i]);
    judge();
    resize(fontMetrics().averageCharWidth() * 100,
           std::min(640, 170 + 66 * static_cast<int>(candidates_.size())));
}

void RoleDialog::addRow(std::size_t index, QGridLayout& grid) {
    const auto& candidate = candidates_[index];
    const auto& recording = candidate.file->recording;
    auto* parent = grid.parentWidget();
    auto* box = new QComboBox(parent);
    for (const Role role : rolesFor(candidate))
        box->addItem(roleName(role), static_cast<int>(role));
    box->setMinimumHeight(30);
    box->setAccessibleName(tr("Role of %1").arg(fileName(*candidate.file)));
    boxes_.push_back(box);
    connect(box, &QComboBox::currentIndexChanged, this,
            [this, index, box] { choose(index, static_cast<Role>(box->currentData().toInt())); });

    auto* words = new QVBoxLayout;
    words->setSpacing(1);
    const QString device = QString::fromStdString(recording.device);
    auto* name = makeStrong(
        device.isEmpty() ? fileName(*candidate.file) : tr("%1 · %2").arg(device, fileName(*candidate.file)),
        parent);
    name->setToolTip(QString::fromStdString(candidate.file->file));
    words->addWidget(name);
    words->addWidget(makeBody(spanWords(*candidate.file, candidate.summary), parent));
    words->addWidget(makeCaption(
        tr("%1 · holds %2").arg(recordingFacts(*candidate.file, candidate.summary), channelWords(recording)),
        parent));
    for (const auto& warning : recording.warnings)
        words->addWidget(makeCaption(tr("Warning: %1").arg(QString::fromStdString(warning)), parent));
    const int row = static_cast<int>(index);
    grid.addWidget(box, row, 0, Qt::AlignTop);
    grid.addLayout(words, row, 1);
}

Role RoleDialog::role(std::size_t candidate) const {
    return static_cast<Role>(boxes_[candidate]->currentData().toInt());
}

void RoleDialog::setRole(std::size_t candidate, Role role) {
    const int at = boxes_[candidate]->findData(static_cast<int>(role));
    if (at >= 0) boxes_[candidate]->setCurrentIndex(at);
}

void RoleDialog::choose(std::size_t candidate, Role chosen) {
    if (chosen == Role::Reference)
        for (std::size_t i = 0; i < boxes_.size(); ++i)
            if (i != candidate && role(i) == Role::Reference) setRole(i, Role::Test);
    judge();
}

QString RoleDialog::complaint() const {
    int references = 0, tests = 0;
    for (std::size_t i = 0; i < boxes_.size(); ++i) {
        references += role(i) == Role::Reference;
        tests += role(i) == Role::Test;
    }
    if (references == 0) return tr("Choose which recording is the reference.");
    if (tests == 0) return tr("Choose at least one recording as a test.");
    return {};
}

QString RoleDialog::notice() const {
    const auto reference = std::ranges::find_if(boxes_, [](const QComboBox* box) {
        return box->currentData().toInt() == static_cast<int>(Role::Reference);
    });
    if (reference == boxes_.end()) return {};
    const auto& against = candidates_[static_cast<std::size_t>(reference - boxes_.begin())];
    QStringList apart;
    for (std::size_t i = 0; i < boxes_.size(); ++i)
        if (role(i) == Role::Test && !meetInTime(candidates_[i], against))
            apart << fileName(*candidates_[i].file);
    if (apart.isEmpty()) return {};
    return tr("By its own clock, %1 does not overlap the reference in time: is it the same workout?")
        .arg(apart.join(QStringLiteral(", ")));
}

void RoleDialog::judge() {
    if (!compare_) return;  // while the rows are being made
    const QString wrong = complaint();
    compare_->setEnabled(wrong.isEmpty());
    judgement_->setText(wrong.isEmpty() ? notice() : wrong);
    judgement_->setVisible(!judgement_->text().isEmpty());
}

SessionPlan RoleDialog::plan() const {
    SessionPlan plan;
    for (std::size_t i = 0; i < candidates_.size(); ++i) {
        const auto& file = candidates_[i].file;
        switch (role(i)) {
            case Role::Reference:
                plan.reference = file;
                break;
            case Role::Test:
                plan.tests.push_back({file, {}});
                break;
            case Role::Context:
                plan.contexts.push_back(file);
                break;
            case Role::LeftOut:
                break;
        }
    }
    return plan;
}

}  // namespace beatwitness::app
